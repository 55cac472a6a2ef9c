//! A derived caution or red flag that is not on the page, the card or in the data file: its question, or on a
//! card the name of the caution.

use super::{Output, html, place_of};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::Protocol;
use crate::model::vocabulary::Status;
use crate::model::{Catalog, DocRef, Idx, Kind};
use crate::plan::Shape;
use crate::render::Built;
use std::collections::BTreeMap;

/// The check.
pub static CHECK: Check = Check {
    name: "caution-missing-from-output",
    summary: "a derived caution or red flag is not in the output",
    level: Level::Error,
    run: Run::Output(run),
    page: include_str!("caution_missing_from_output.md"),
};

fn run(case: &Case<'_>, output: &Output<'_>, sink: &mut Sink) {
    let treats = |d: &DocRef| matches!(d.kind, Kind::Protocol | Kind::Session);
    let files: BTreeMap<(Shape, DocRef), &Built> =
        output.built.iter().filter_map(|b| b.doc.filter(treats).map(|d| ((b.shape, d), b))).collect();
    for doc in case.catalog.docs(Kind::Protocol).chain(case.catalog.docs(Kind::Session)) {
        let Some((parts, head)) = case.facts.treats(doc).zip(case.catalog.head(doc)) else { continue };
        let all = |card: bool| -> Vec<(String, String)> { parts.iter().flat_map(|p| wanted(case, *p, card)).collect() };
        let (asked, named) = (all(false), all(true));
        let title = case.catalog.title(doc);
        let retired = head.status.as_ref().is_some_and(|s| s.value == Status::Retired);
        // What is retired has no card and no room view, and a session has no room view.
        let room = doc.kind == Kind::Protocol;
        let needless = |s: &Shape| (retired && matches!(s, Shape::Card | Shape::Room)) || (!room && *s == Shape::Room);
        for shape in [Shape::Page, Shape::Room, Shape::Card, Shape::Data].into_iter().filter(|s| !needless(s)) {
            let file = files.get(&(shape, doc));
            let text = file.map(|f| output.shown(f)).unwrap_or_default();
            let wanted = if shape == Shape::Card { &named } else { &asked };
            let missing: Vec<&(String, String)> = wanted.iter().filter(|(_, q)| !text.contains(q.as_str())).collect();
            let Some((name, question)) = missing.first() else { continue };
            let message = format!("`{name}` is not on the {} of `{title}`", word(shape));
            sink.report(place_of(head), "this document", message)
                .note(format!("looked for: {question}; {} of {} are missing there", missing.len(), wanted.len()))
                .help("use the shipped template, or print every derived caution and red flag in yours");
        }
    }
}

fn word(shape: Shape) -> &'static str {
    match shape {
        Shape::Card => "card",
        Shape::Room => "room view",
        Shape::Data => "data file",
        _ => "page",
    }
}

/// Name of everything that was derived for a protocol, with the words to look for.
fn wanted(case: &Case<'_>, protocol: Idx<Protocol>, on_card: bool) -> Vec<(String, String)> {
    let catalog: &Catalog = case.catalog;
    let facts = case.facts.of(protocol);
    let cautions = facts.cautions.iter().map(|c| {
        let doc = &catalog.conditions[c.condition];
        let question = doc.question.as_ref().filter(|_| !on_card);
        (doc.name.value.to_string(), html::plain(&question.unwrap_or(&doc.name).value))
    });
    let flags = facts.flags.flags.iter().map(|f| {
        let doc = &catalog.flags[f.flag];
        (doc.name.value.to_string(), html::plain(&doc.question.value))
    });
    cautions.chain(flags).collect()
}

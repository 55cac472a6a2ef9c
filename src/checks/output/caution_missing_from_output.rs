//! A derived caution, combination of conditions or red flag, or whom a protocol is not for, that is not on the page, the card or in the data file:
//! its question or reason, or on a card the name of the caution and the others that a condition is named together with.

use super::{Output, html, place_of};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::together::Combination;
use crate::finding::Level;
use crate::model::docs::{Condition, Protocol};
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
        let title = case.catalog.title(doc);
        let retired = head.status.as_ref().is_some_and(|s| s.value == Status::Retired);
        // What is retired has no card and no room view, and a session has no room view.
        let room = doc.kind == Kind::Protocol;
        let needless = |s: &Shape| (retired && matches!(s, Shape::Card | Shape::Room)) || (!room && *s == Shape::Room);
        for shape in [Shape::Page, Shape::Room, Shape::Card, Shape::Data].into_iter().filter(|s| !needless(s)) {
            let file = files.get(&(shape, doc));
            let text = file.map(|f| output.shown(f)).unwrap_or_default();
            let wanted = merged(parts.iter().flat_map(|p| wanted(case, *p, shape)));
            let missing: Vec<&Wanted> = wanted.iter().filter(|w| text.matches(w.words.as_str()).count() < w.names.len()).collect();
            let Some(first) = missing.first() else { continue };
            let message = format!("`{}` is not on the {} of `{title}`", first.names.join("`, `"), word(shape));
            sink.report(place_of(head), "this document", message)
                .note(format!("looked for: {}; {} of {} are missing there", first.words, missing.len(), wanted.len()))
                .help("use the shipped template, or print every derived caution and red flag in yours");
        }
    }
}

/// Words that stand on a page, once for each of those that they are said of.
struct Wanted {
    names: Vec<String>,
    words: String,
}

/// Several protocols of a session may want the same of one thing; two things may want the same words.
fn merged(all: impl Iterator<Item = (String, String)>) -> Vec<Wanted> {
    let mut out: Vec<Wanted> = Vec::new();
    for (name, words) in all {
        match out.iter_mut().find(|w| w.words == words) {
            Some(known) if known.names.contains(&name) => {}
            Some(known) => known.names.push(name),
            None => out.push(Wanted { names: vec![name], words }),
        }
    }
    out
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
fn wanted(case: &Case<'_>, protocol: Idx<Protocol>, shape: Shape) -> Vec<(String, String)> {
    let catalog: &Catalog = case.catalog;
    let facts = case.facts.of(protocol);
    let cautions = facts.cautions.iter().map(|c| {
        let doc = &catalog.conditions[c.condition];
        let question = doc.question.as_ref().filter(|_| shape != Shape::Card);
        (doc.name.value.to_string(), html::plain(&question.unwrap_or(&doc.name).value))
    });
    let flags = facts.flags.flags.iter().map(|f| {
        let doc = &catalog.flags[f.flag];
        (doc.name.value.to_string(), html::plain(&doc.question.value))
    });
    let pairs = facts.combinations.iter().flat_map(|c| pair(catalog, c, shape));
    // On a card it goes on with other names.
    let not_for =
        catalog.protocols[protocol].not_for().map(|t| ("whom it is not for".to_string(), html::plain(t.value.trim_end_matches('.'))));
    cautions.chain(flags).chain(pairs).chain(not_for).collect()
}

/// A combination: on a card at each of its conditions the others, elsewhere why; as data it is one row.
fn pair(catalog: &Catalog, combination: &Combination, shape: Shape) -> Vec<(String, String)> {
    let name = |c: &Idx<Condition>| &*catalog.conditions[*c].name.value;
    let others = combination.others.iter().filter(|_| shape != Shape::Data);
    let reason = combination.written(catalog).map(|t| html::plain(&t.reason.value));
    let one = |own: &Idx<Condition>| {
        let with: Vec<&str> = combination.partners(*own).iter().map(name).collect();
        // The colon, since one list of others may begin like another.
        let words = html::plain(&format!("Together with {}:", with.join(", or ")));
        let both = match shape {
            Shape::Data => format!("{}, row {} of what it does together", name(own), combination.row + 1),
            _ => format!("{} together with {}", name(own), with.join(", or ")),
        };
        Some((both, if shape == Shape::Card { words } else { reason.clone()? }))
    };
    std::iter::once(&combination.condition).chain(others).filter_map(one).collect()
}

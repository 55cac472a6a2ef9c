//! A derived caution or red flag that is not on the page, the card or in the data file: its question, or on a
//! card the name of the caution.

use super::{Output, html, place_of};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::Protocol;
use crate::model::vocabulary::Status;
use crate::model::{Catalog, Idx, Kind};
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
    let files: BTreeMap<(Shape, u32), &Built> =
        output.built.iter().filter_map(|b| b.doc.filter(|d| d.kind == Kind::Protocol).map(|d| ((b.shape, d.row), b))).collect();
    for (idx, protocol) in case.catalog.protocols.iter() {
        let asked = wanted(case, idx, false);
        let named = wanted(case, idx, true);
        let retired = protocol.head.status.as_ref().is_some_and(|s| s.value == Status::Retired);
        // A retired protocol has no card.
        for shape in [Shape::Page, Shape::Card, Shape::Data].into_iter().filter(|s| !(retired && *s == Shape::Card)) {
            let file = files.get(&(shape, u32::try_from(idx.row()).unwrap_or(u32::MAX)));
            let text = file.map(|f| output.shown(f)).unwrap_or_default();
            let wanted = if shape == Shape::Card { &named } else { &asked };
            let missing: Vec<&(String, String)> = wanted.iter().filter(|(_, q)| !text.contains(q.as_str())).collect();
            let Some((name, question)) = missing.first() else { continue };
            let message = format!("`{name}` is not on the {} of `{}`", word(shape), protocol.title.value);
            sink.report(place_of(&protocol.head), "this protocol", message)
                .note(format!("looked for: {question}; {} of {} are missing there", missing.len(), wanted.len()))
                .help("use the shipped template, or print every derived caution and red flag in yours");
        }
    }
}

fn word(shape: Shape) -> &'static str {
    match shape {
        Shape::Card => "card",
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

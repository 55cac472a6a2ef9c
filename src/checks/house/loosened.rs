//! What a house pack loosens, and whether a record lets it through.
//!
//! A loosening is looked for in what documents come down to. The record stands in the change from which it follows: in
//! every differing document on which the loosened one rests, unless that document by itself only tightens.

use crate::checks::{Case, Sink};
use crate::compute::compare::{Change, Class, Topic, Way};
use crate::compute::house::House;
use crate::model::docs::{ChangeDoc, Origin};
use crate::model::{DocName, Kind, PARTS};
use crate::source::Span;
use std::collections::BTreeMap;

/// Most lines of one finding.
const SHOWN: usize = 4;

/// Reports what of these topics is looser than in the base pack and has no record: one finding for each document
/// that should have one.
pub(super) fn report(case: &Case<'_>, sink: &mut Sink, topics: &[Topic], rule: &str) {
    for house in &case.facts.houses {
        let mut shut: BTreeMap<DocName, Vec<&Change>> = BTreeMap::new();
        for change in house.changes.iter().filter(|c| c.way == Way::Looser && topics.contains(&c.topic)) {
            if let Door::Shut(name) = door(case, house, change) {
                shut.entry(name).or_default().push(change);
            }
        }
        for (name, mut lines) in shut {
            // What is named first is told first.
            lines.sort_by_key(|c| topics.iter().position(|t| *t == c.topic));
            refuse(case, house, sink, &name, &lines, rule);
        }
    }
}

enum Door {
    /// Every change from which it follows has its record, or the record itself is at fault and reported.
    Open,
    /// This document has none.
    Shut(DocName),
}

fn door(case: &Case<'_>, house: &House, change: &Change) -> Door {
    let differing = house.differing(case.facts, &change.document);
    let mut suspects: Vec<&DocName> = differing.iter().filter(|name| suspect(house, name, change)).collect();
    if suspects.is_empty() {
        // Several tightenings can make a loosening together.
        suspects = differing.iter().collect();
    }
    let records = |name: &DocName| changes_of(case, house, name).any(|c| c.loosening.is_some());
    match suspects.iter().find(|name| !records(name)) {
        Some(name) => Door::Shut((*name).clone()),
        None if suspects.is_empty() => Door::Shut(change.document.clone()),
        None => Door::Open,
    }
}

/// True unless a document by itself only tightens. What is new in the house pack is reached through what was changed.
fn suspect(house: &House, name: &DocName, change: &Change) -> bool {
    if *name == change.document {
        return true;
    }
    if !reaches(name, change.topic) {
        return false;
    }
    let known = house.facts.currency.named(name).is_some();
    let harmless = |c: &Change| c.way == Way::Tighter || matches!(c.class, Class::Evidence | Class::Note | Class::Wording);
    known && !house.changes.iter().filter(|c| c.document == *name).all(harmless)
}

/// True if a change of a document can have to do with such a change of another.
fn reaches(name: &DocName, topic: Topic) -> bool {
    let referral = matches!(topic, Topic::Flag | Topic::Urgency | Topic::Destination);
    match name.kind {
        Kind::Flag => referral,
        Kind::Pack if *name.id != *PARTS[0].0 => referral,
        Kind::Condition => matches!(topic, Topic::Caution | Topic::Limit | Topic::Population),
        Kind::Population => topic == Topic::Population,
        Kind::Measure => topic == Topic::Retest,
        Kind::Source | Kind::Question | Kind::Outcome | Kind::Page | Kind::Audit | Kind::Change => false,
        _ => true,
    }
}

/// Change documents of the pack for a document.
pub(super) fn changes_of<'a>(case: &'a Case<'_>, house: &'a House, name: &'a DocName) -> impl Iterator<Item = &'a ChangeDoc> {
    case.catalog.changes.rows().iter().filter(move |c| c.head.pack == house.pack && c.of.as_ref().is_some_and(|of| of.value == *name))
}

fn refuse(case: &Case<'_>, house: &House, sink: &mut Sink, name: &DocName, lines: &[&Change], rule: &str) {
    let Some(first) = lines.first() else { return };
    let (at, label, help) = place(case, house, name);
    let finding = sink.report(at, label, format!("`{}` is looser than in the base pack: {}", first.document, line(first)));
    for other in lines.iter().skip(1).take(SHOWN) {
        finding.note(format!("{}: {}", other.document, line(other)));
    }
    if lines.len() > SHOWN + 1 {
        finding.note(format!("and {} more", lines.len() - SHOWN - 1));
    }
    finding.note(rule).help(help);
}

/// A change in words.
pub(super) fn line(change: &Change) -> String {
    let or_none = |text: &Option<String>| text.clone().unwrap_or_else(|| "nothing".into());
    format!("{} ({} -> {})", change.path, or_none(&change.old), or_none(&change.new))
}

/// Where a loosening that follows from a document is reported, and what to do.
fn place(case: &Case<'_>, house: &House, name: &DocName) -> (Span, &'static str, String) {
    const RECORD: &str = "`loosening: {argument, cite, approver, until}`";
    if let Some(change) = changes_of(case, house, name).next() {
        let help = format!("take it back, or add a record to changes/{}.yaml: {RECORD}", change.head.id.value);
        return (change.merge, "this change", help);
    }
    let pack = &case.catalog.packs[house.pack];
    if name.kind == Kind::Pack {
        let help = format!("take it back in pack.yaml, or write it as a change of `{name}` with a record: {RECORD}");
        return (pack.extends.as_ref().map_or(pack.head.at, |e| e.span), "in this pack", help);
    }
    let head = case.catalog.find(name.kind, &name.id).and_then(|d| case.catalog.head(d));
    let help = format!("take it back, or write it as a change of `{name}` with a record: {RECORD}");
    match head {
        Some(head) if head.origin == Origin::Replaced => (head.id.span, "replaces the document of the base pack", help),
        _ => (pack.extends.as_ref().map_or(pack.head.at, |e| e.span), "in this pack", help),
    }
}

//! Work in a region in which nobody works.

use super::{names, tagged};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::steps::StepFacts;
use crate::finding::Level;
use crate::model::region::Tag;
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "region-not-treated",
    summary: "a step works in a region that is never treated",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("region_not_treated.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        let facts = case.facts.of(idx);
        let steps = protocol.steps.iter().zip(&facts.steps).map(|(s, f)| (s.target.span.unwrap_or(s.action.span), f));
        let home = protocol.home.iter().zip(&facts.home).map(|(h, f)| (h.target.span.unwrap_or(h.action.span), f));
        steps.chain(home).for_each(|(at, f)| judge(at, f, sink));
    }
}

fn judge(at: Span, facts: &StepFacts, sink: &mut Sink) {
    let found = tagged(&facts.places, Tag::NotTreated);
    if facts.is_treatment() && !found.is_empty() {
        let message = format!("a step works in a region that is never treated: {}", names(&found));
        sink.report(at, "never treated", message).help("leave the step out; pain here leads to the red flags");
    }
}

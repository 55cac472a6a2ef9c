//! Heat or cold on skin whose feeling was not tested.

use super::names;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::steps::StepFacts;
use crate::compute::thermal::readiness::{stressor, untested};
use crate::finding::Level;
use crate::model::docs::Protocol;
use crate::model::region::Place;
use crate::model::vocabulary::Role;
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "sensation-test-missing",
    summary: "heat or cold comes before feeling was tested on that skin",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("sensation_test_missing.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        let facts = case.facts.of(idx);
        // Skin that nobody tested is told once, with the first heat or cold on it.
        let mut told: Vec<Place> = Vec::new();
        for (row, (step, own)) in protocol.steps.iter().zip(&facts.steps).enumerate() {
            let before = &facts.steps[..row];
            let missing = missing(case, before, own, &mut told);
            report(case, protocol, (&format!("step {}", step.number.value), step.action.span, before.len()), own, &missing, sink);
        }
        for (item, own) in protocol.home.iter().zip(&facts.home) {
            let missing = missing(case, &facts.steps, own, &mut told);
            report(case, protocol, (&format!("home item `{}`", item.name.value), item.action.span, facts.steps.len()), own, &missing, sink);
        }
    }
}

/// Places under heat or cold that no step before has tested and that were not told yet.
fn missing(case: &Case<'_>, before: &[StepFacts], own: &StepFacts, told: &mut Vec<Place>) -> Vec<Place> {
    // What could not be linked may be the test; that was reported.
    if stressor(own).is_none() || before.iter().any(|s| s.technique.is_none()) {
        return Vec::new();
    }
    let mut places = untested(case.catalog, before, &own.places);
    places.retain(|p| !told.contains(p));
    told.extend(&places);
    places
}

/// Reports a step or home item by its name, its place and the number of steps before it.
fn report(case: &Case<'_>, protocol: &Protocol, item: (&str, Span, usize), own: &StepFacts, missing: &[Place], sink: &mut Sink) {
    let (name, at, before) = item;
    let Some(load) = stressor(own).filter(|_| !missing.is_empty()) else { return };
    let message = format!("{name} puts {} on skin whose feeling was not tested before: {}", load.word(), names(missing));
    let finding = sink.report(at, "who cannot feel cannot warn", message);
    for (row, test) in protocol.steps.iter().enumerate() {
        if test.technique.to.is_some_and(|t| case.catalog.techniques[t].role == Role::SensationTest) {
            finding.also(test.target.span.unwrap_or(test.action.span), if row < before { "tested elsewhere" } else { "tested only now" });
        }
    }
    finding.help(format!("add a step with a sensation test of {} before it", names(missing)));
}

//! Heat or cold on skin that has not warmed up again after cold.

use super::names;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::ProtocolFacts;
use crate::compute::steps::StepFacts;
use crate::compute::thermal::readiness::{Close, times_known, too_close};
use crate::compute::thermal::scenario::{Exposure, RE_WARM};
use crate::compute::thermal::spoken::{degrees, rewarm, time};
use crate::finding::{Finding, Level};
use crate::model::Idx;
use crate::model::docs::{Protocol, Step};
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "rewarm-not-respected",
    summary: "heat or cold comes before the skin is warm again after cold",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("rewarm_not_respected.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        let facts = case.facts.of(idx);
        for close in early(&[facts]) {
            let rows = protocol.steps.get(close.earlier.step).zip(protocol.steps.get(close.later.step));
            if let (Some((first, second)), Some(cold)) = (rows, exposure(facts, close.earlier.step)) {
                let finding = sink.report(second.action.span, "skin is still cold", message(&close, cold, first, second));
                finding.also(first.action.span, "the cold before it");
                finish(finding, cold);
            }
        }
    }
    for session in case.catalog.sessions.rows() {
        let parts: Vec<(Span, Idx<Protocol>)> = session.protocols.iter().filter_map(|r| Some((r.span(), r.to?))).collect();
        let facts: Vec<&ProtocolFacts> = parts.iter().map(|(_, p)| case.facts.of(*p)).collect();
        for close in early(&facts).into_iter().filter(|c| c.earlier.part != c.later.part) {
            let step = |part: usize, row: usize| {
                let (span, protocol) = parts.get(part)?;
                Some((*span, case.catalog.protocols[*protocol].steps.get(row)?))
            };
            let rows = step(close.earlier.part, close.earlier.step).zip(step(close.later.part, close.later.step));
            let cold = facts.get(close.earlier.part).and_then(|f| exposure(f, close.earlier.step));
            if let (Some(((_, first), (at, second))), Some(cold)) = (rows, cold) {
                let finding = sink.report(at, "too soon after the protocol before it", message(&close, cold, first, second));
                finding.also(second.action.span, "the later step").also(first.action.span, "the cold before it");
                finish(finding, cold);
            }
        }
    }
}

fn exposure(facts: &ProtocolFacts, row: usize) -> Option<&Exposure> {
    Some(&facts.steps.get(row)?.thermal.as_ref()?.exposure)
}

/// Seconds until skin is warm again after a cold step; that it takes longer than was watched counts as
/// the time watched.
pub(super) fn wanted(earlier: &StepFacts, later: &StepFacts) -> Option<f64> {
    let cold = earlier.thermal.as_ref().filter(|t| !t.exposure.scenario.is_heat())?;
    later.thermal.as_ref()?;
    Some(cold.exposure.rewarm().unwrap_or(RE_WARM))
}

fn early(parts: &[&ProtocolFacts]) -> Vec<Close> {
    let mut found = too_close(parts, wanted);
    found.retain(|close| times_known(parts, close));
    found
}

fn message(close: &Close, cold: &Exposure, first: &Step, second: &Step) -> String {
    let (a, b, places) = (first.number.value, second.number.value, names(&close.places));
    format!("step {b} can follow step {a} on {places} after {}, and in the model the skin is warm again {}", time(close.gap), rewarm(cold))
}

fn finish(finding: &mut Finding, cold: &Exposure) {
    let low = degrees(cold.worst().skin_min);
    finding
        .note(format!("The cold takes skin down to {low}; warm again means 30 °C. Blood flow stays low after cooling, and cooled skin cannot judge a temperature."))
        .help("put other steps between the two, or leave one out");
}

//! Heat or cold on skin that carries a rub or lotion.

use super::{Once, names};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::ProtocolFacts;
use crate::compute::steps::StepFacts;
use crate::compute::thermal::readiness::{Close, stressor, too_close};
use crate::finding::{Finding, Level};
use crate::model::Idx;
use crate::model::docs::{HouseNumber, Protocol};
use crate::model::region::{Place, any_meets};
use crate::model::vocabulary::Stressor;
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "topical-before-thermal",
    summary: "heat or cold follows a rub or lotion on the same skin",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("topical_before_thermal.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        let limit = &case.pack(&protocol.head).thermal.topical;
        let mut once = Once::default();
        for close in found(&[case.facts.of(idx)], limit) {
            if let (Some(rub), Some(thermal)) = (protocol.steps.get(close.earlier.step), protocol.steps.get(close.later.step))
                && once.first(rub.action.span)
            {
                let message = message(thermal.number.value, rub.number.value, &close.places, limit);
                let finding = sink.report(thermal.action.span, "over a rub or lotion", message);
                finding.also(rub.action.span, "put on here");
                finish(finding, limit);
            }
        }
        at_home(case, idx, limit, sink);
    }
    for session in case.catalog.sessions.rows() {
        let limit = &case.pack(&session.head).thermal.topical;
        let parts: Vec<(Span, Idx<Protocol>)> = session.protocols.iter().filter_map(|r| Some((r.span(), r.to?))).collect();
        let facts: Vec<&ProtocolFacts> = parts.iter().map(|(_, p)| case.facts.of(*p)).collect();
        for close in found(&facts, limit).into_iter().filter(|c| c.earlier.part != c.later.part) {
            let step = |at: crate::compute::numb::At| {
                let (span, protocol) = parts.get(at.part)?;
                Some((*span, case.catalog.protocols[*protocol].steps.get(at.step)?))
            };
            if let (Some((_, rub)), Some((at, thermal))) = (step(close.earlier), step(close.later)) {
                let message = message(thermal.number.value, rub.number.value, &close.places, limit);
                let finding = sink.report(at, "over a rub or lotion", message);
                finding.also(thermal.action.span, "the heat or cold").also(rub.action.span, "put on here");
                finish(finding, limit);
            }
        }
    }
}

fn found(parts: &[&ProtocolFacts], limit: &HouseNumber) -> Vec<Close> {
    too_close(parts, |rub, later| (rub.load(Stressor::Topical).is_some() && stressor(later).is_some()).then_some(limit.value))
}

/// What is wrong, with the numbers of the two steps.
fn message(thermal: u32, rub: u32, places: &[Place], limit: &HouseNumber) -> String {
    let (places, limit) = (names(places), limit.shown());
    format!("step {thermal} puts heat or cold on skin that step {rub} has rubbed ({places}), and {limit} should lie between")
}

/// Nothing keeps a rub and a pack of one home programme apart, nor a rub at home and a pack in the
/// clinic on the same day.
fn at_home(case: &Case<'_>, idx: Idx<Protocol>, limit: &HouseNumber, sink: &mut Sink) {
    let (protocol, facts) = (&case.catalog.protocols[idx], case.facts.of(idx));
    let clinic = protocol.steps.iter().map(|s| s.action.span).zip(&facts.steps).map(|(at, f)| (at, f, false));
    let home = protocol.home.iter().map(|h| h.action.span).zip(&facts.home).map(|(at, f)| (at, f, true));
    let all: Vec<(Span, &StepFacts, bool)> = clinic.chain(home).collect();
    for (rubbed, rub, rub_at_home) in all.iter().filter(|(_, f, _)| f.load(Stressor::Topical).is_some()) {
        for (at, thermal, thermal_at_home) in all.iter().filter(|(_, f, _)| stressor(f).is_some()) {
            let places: Vec<Place> = thermal.places.iter().copied().filter(|p| any_meets(&rub.places, &[*p])).collect();
            if (*rub_at_home || *thermal_at_home) && !places.is_empty() && limit.value > 0.0 {
                let (places, hours) = (names(&places), limit.shown());
                let message = format!("nothing keeps this heat or cold {hours} apart from a rub on the same skin ({places})");
                let finding = sink.report(*at, "over a rub or lotion", message);
                finding.also(*rubbed, "put on here");
                finish(finding, limit);
            }
        }
    }
}

fn finish(finding: &mut Finding, limit: &HouseNumber) {
    if let Some(at) = limit.stated {
        finding.also(at, "the house limit");
    }
    finding
        .note("Under a pack more of a rub goes into the skin, and a warming or cooling rub hides how hot or cold the pack is.")
        .help("leave the rub out, put it on after the last heat or cold, or treat other skin");
}

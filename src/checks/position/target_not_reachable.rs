//! Targets that are covered or out of reach in the position of the step.

use super::{named, target_at, written_at};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::steps::StepFacts;
use crate::finding::Level;
use crate::model::docs::{Position, Protocol};
use crate::model::region::any_meets;
use crate::model::vocabulary::Stressor;

/// The check.
pub static CHECK: Check = Check {
    name: "target-not-reachable",
    summary: "a step works on skin that its position does not leave bare and reachable",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("target_not_reachable.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        for (row, facts) in case.facts.of(idx).steps.iter().enumerate().filter(|(_, f)| acts_on_skin(f)) {
            if let Some(position) = facts.position {
                compare(protocol, row, facts, &case.catalog.positions[position], sink);
            }
        }
    }
}

/// Stretch and effort move a joint; everything else needs the skin itself.
fn acts_on_skin(step: &StepFacts) -> bool {
    step.loads.iter().any(|l| !matches!(l.stressor, Stressor::Stretch | Stressor::Contraction | Stressor::Position))
}

fn compare(protocol: &Protocol, row: usize, facts: &StepFacts, position: &Position, sink: &mut Sink) {
    // A region that could not be read was reported, and may be the one that is bare.
    let unread = position.exposed.all.is_empty();
    let hidden: Vec<_> = facts.places.iter().filter(|p| !any_meets(&position.exposed.all, &[**p])).collect();
    let Some(step) = protocol.steps.get(row).filter(|_| !unread && !hidden.is_empty()) else { return };
    let places = hidden.iter().map(|p| p.shown()).collect::<Vec<_>>().join(", ");
    let message = format!("{} works on skin that is not within reach in `{}`: {places}", named(step), position.name.value);
    let finding = sink.report(target_at(step), format!("not within reach: {places}"), message);
    if let Some(taken) = &step.position {
        finding.also(taken.span(), format!("the position of {}", named(step)));
    }
    if let Some(at) = written_at(&position.exposed) {
        finding.also(at, "bare and reachable in it");
    }
    finding.help(format!("give {} a position that leaves the place bare, or correct `exposed` of {}", named(step), position.head.id.value));
}

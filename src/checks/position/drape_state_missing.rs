//! Exposure that changes without being stated again.

use super::{named, names, tagged, target_at};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::exposure::bares;
use crate::compute::steps::StepFacts;
use crate::finding::Level;
use crate::model::Catalog;
use crate::model::docs::{Protocol, Step};
use crate::model::region::{RegionId, Tag};
use std::collections::BTreeSet;

/// The check.
pub static CHECK: Check = Check {
    name: "drape-state-missing",
    summary: "the exposure changes and the step does not say what is bare now",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("drape_state_missing.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        let facts = &case.facts.of(idx).steps;
        let mut stated: Option<&Step> = None;
        let mut bare: BTreeSet<RegionId> = BTreeSet::new();
        for (row, (step, now)) in protocol.steps.iter().zip(facts).enumerate() {
            let before = row.checked_sub(1).and_then(|r| facts.get(r));
            let changed = before.is_some_and(|b| other_skin(case.catalog, b, now));
            if changed {
                bare.clear();
            }
            if let Some(exposure) = &step.exposure {
                stated = Some(step);
                bare.extend(all_sensitive(protocol, facts).into_iter().filter(|r| bares(&exposure.value, *r)));
            } else if changed {
                new_position(step, now, stated, case.catalog, sink);
                continue;
            }
            let unsaid: BTreeSet<RegionId> = tagged(&now.places, Tag::Sensitive).difference(&bare).copied().collect();
            if !unsaid.is_empty() {
                new_region(step, &unsaid, stated, sink);
                bare.extend(unsaid);
            }
        }
    }
}

/// Sensitive regions on which any step works.
fn all_sensitive(protocol: &Protocol, facts: &[StepFacts]) -> BTreeSet<RegionId> {
    facts.iter().take(protocol.steps.len()).flat_map(|f| tagged(&f.places, Tag::Sensitive)).collect()
}

/// True if the person turns into a position that leaves other skin bare.
fn other_skin(catalog: &Catalog, before: &StepFacts, now: &StepFacts) -> bool {
    match (before.position, now.position) {
        (Some(a), Some(b)) if now.turns => catalog.positions[a].exposed.all != catalog.positions[b].exposed.all,
        _ => false,
    }
}

fn new_position(step: &Step, now: &StepFacts, stated: Option<&Step>, catalog: &Catalog, sink: &mut Sink) {
    let Some(position) = now.position.map(|p| &catalog.positions[p]) else { return };
    let message = format!("{} changes to `{}` and does not say what is bare and what is covered", named(step), position.name.value);
    let at = step.position.as_ref().map_or(step.action.span, crate::model::ids::Ref::span);
    let finding = sink.report(at, "other skin becomes bare here", message);
    if let Some(exposure) = stated.and_then(|s| s.exposure.as_ref()) {
        finding.also(exposure.span, "last stated here");
    }
    finding.also(position.drape.span, "the drape of the position").help(format!("add `exposure:` to {}", named(step)));
}

fn new_region(step: &Step, unsaid: &BTreeSet<RegionId>, stated: Option<&Step>, sink: &mut Sink) {
    let names = names(unsaid);
    let message = format!("{} works on a sensitive region that no exposure names as bare: {names}", named(step));
    let finding = sink.report(target_at(step), "sensitive", message);
    if let Some(exposure) = stated.and_then(|s| s.exposure.as_ref()) {
        finding.also(exposure.span, "last stated here");
    }
    let verb = if step.exposure.is_some() { "change" } else { "add" };
    finding.help(format!("{verb} `exposure:` of {}: say that {names} is bare and what stays covered", named(step)));
}

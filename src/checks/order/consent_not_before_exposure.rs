//! Loads and sensitive regions without a consent step right before them.

use super::{first_load, named, unclear_before};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::exposure::bares;
use crate::compute::steps::StepFacts;
use crate::finding::Level;
use crate::model::docs::{Protocol, Step};
use crate::model::region::{RegionId, Tag, regions};
use crate::model::vocabulary::Role;
use std::collections::BTreeSet;

/// The check.
pub static CHECK: Check = Check {
    name: "consent-not-before-exposure",
    summary: "the first load or a sensitive region comes without a consent step before it",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("consent_not_before_exposure.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        let facts = case.facts.of(idx);
        let consents: Vec<usize> = (0..).zip(&protocol.steps).filter(|(_, s)| has(case, s, &[Role::Consent])).map(|(i, _)| i).collect();
        if let Some(first) = first_load(facts)
            && !unclear_before(protocol, first)
            && consents.iter().all(|c| *c > first)
        {
            without_any(protocol, first, &consents, sink);
            continue;
        }
        sensitive(case, protocol, &facts.steps, &consents, sink);
    }
}

fn has(case: &Case<'_>, step: &Step, roles: &[Role]) -> bool {
    step.technique.to.is_some_and(|t| roles.contains(&case.catalog.techniques[t].role))
}

fn without_any(protocol: &Protocol, first: usize, consents: &[usize], sink: &mut Sink) {
    let Some(load) = protocol.steps.get(first) else { return };
    let finding = sink.report(load.action.span, "the first load", format!("{} loads the body before consent was asked", named(load)));
    match consents.first().and_then(|c| protocol.steps.get(*c)) {
        Some(late) => finding.also(late.action.span, "consent stands here").help(format!("move {} before {}", named(late), named(load))),
        None => finding.help(format!("add a step with a technique of `role: consent` before {}", named(load))),
    };
}

/// Each sensitive region, when it is worked on first, needs a consent right before it is bared: asking
/// at the start of the visit is not enough once something else was done. Pauses and talk do not count.
fn sensitive(case: &Case<'_>, protocol: &Protocol, steps: &[StepFacts], consents: &[usize], sink: &mut Sink) {
    let mut known = BTreeSet::new();
    for (row, (step, facts)) in protocol.steps.iter().zip(steps).enumerate() {
        let fresh: Vec<RegionId> = facts.places.iter().map(|p| p.region).filter(|r| is_sensitive(*r) && !known.contains(r)).collect();
        known.extend(fresh.iter().copied());
        if fresh.is_empty() || unclear_before(protocol, row) {
            continue;
        }
        let says = |i: &usize| {
            let said = protocol.steps.get(*i).and_then(|s| s.exposure.as_ref());
            said.is_some_and(|t| fresh.iter().all(|r| bares(&t.value, *r)))
        };
        let bared = (0..=row).find(says).unwrap_or(row);
        let prior = (0..bared).rev().find(|i| !protocol.steps.get(*i).is_some_and(|s| has(case, s, &[Role::Pause, Role::Education])));
        if prior.is_some_and(|p| consents.contains(&p)) {
            continue;
        }
        let names: BTreeSet<&str> = fresh.iter().map(|r| regions().get(*r).name.as_str()).collect();
        let names = names.into_iter().collect::<Vec<_>>().join(" and ");
        let message = format!("{} works on {names} and consent was not asked right before", named(step));
        let finding = sink.report(step.target.span.unwrap_or(step.action.span), "first work on a sensitive region", message);
        if let Some(last) = consents.iter().rfind(|c| **c < bared).and_then(|c| protocol.steps.get(*c)) {
            finding.also(last.action.span, "the last consent");
        }
        if let Some(between) = prior.and_then(|p| protocol.steps.get(p)) {
            finding.also(between.action.span, "done since then");
        }
        let before = protocol.steps.get(bared).map_or_else(|| named(step), named);
        finding.help(format!("add a step with a technique of `role: consent` right before {before}, naming {names}"));
    }
}

fn is_sensitive(region: RegionId) -> bool {
    regions().get(region).tags.contains(&Tag::Sensitive)
}

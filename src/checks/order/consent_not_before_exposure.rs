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
        let consents: Vec<usize> = (0..).zip(&protocol.steps).filter(|(_, s)| is_consent(case, s)).map(|(i, _)| i).collect();
        if let Some(first) = first_load(facts)
            && !unclear_before(protocol, first)
            && consents.iter().all(|c| *c > first)
        {
            without_any(protocol, first, &consents, sink);
            continue;
        }
        sensitive(protocol, &facts.steps, &consents, sink);
    }
}

fn is_consent(case: &Case<'_>, step: &Step) -> bool {
    step.technique.to.is_some_and(|t| case.catalog.techniques[t].role == Role::Consent)
}

fn without_any(protocol: &Protocol, first: usize, consents: &[usize], sink: &mut Sink) {
    let Some(load) = protocol.steps.get(first) else { return };
    let finding = sink.report(load.action.span, "the first load", format!("{} loads the body before consent was asked", named(load)));
    match consents.first().and_then(|c| protocol.steps.get(*c)) {
        Some(late) => finding.also(late.action.span, "consent stands here").help(format!("move {} before {}", named(late), named(load))),
        None => finding.help(format!("add a step with a technique of `role: consent` before {}", named(load))),
    };
}

/// Each sensitive region, when it is touched first, needs a consent since the last thing that was done.
fn sensitive(protocol: &Protocol, steps: &[StepFacts], consents: &[usize], sink: &mut Sink) {
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
        let done = (0..bared).rev().find(|i| steps.get(*i).is_some_and(|s| s.is_treatment() || !s.places.is_empty()));
        if consents.iter().any(|c| *c < bared && done.is_none_or(|d| *c > d)) {
            continue;
        }
        let names: BTreeSet<&str> = fresh.iter().map(|r| regions().get(*r).name.as_str()).collect();
        let names = names.into_iter().collect::<Vec<_>>().join(" and ");
        let message = format!("{} works on {names} and consent was not asked right before", named(step));
        let finding = sink.report(step.target.span.unwrap_or(step.action.span), "first work on a sensitive region", message);
        if let Some(last) = consents.iter().rfind(|c| **c < bared).and_then(|c| protocol.steps.get(*c)) {
            finding.also(last.action.span, "the last consent");
        }
        if let Some(since) = done.and_then(|d| protocol.steps.get(d)) {
            finding.also(since.action.span, "done since then");
        }
        let before = protocol.steps.get(bared).map_or_else(|| named(step), named);
        finding.help(format!("add a step with a technique of `role: consent` right before {before}, naming {names}"));
    }
}

fn is_sensitive(region: RegionId) -> bool {
    regions().get(region).tags.contains(&Tag::Sensitive)
}

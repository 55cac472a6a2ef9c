//! An error that was found in other people, or at another site, and is used without saying so.

use super::{retests, shown};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::measurement::{Yardstick, for_protocol};
use crate::finding::Level;
use crate::model::Idx;
use crate::model::docs::{Measure, Protocol, Step};

/// The check.
pub static CHECK: Check = Check {
    name: "reliability-borrowed",
    summary: "the error of a measure comes from other people or another site than those of the protocol",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("reliability_borrowed.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for protocol in case.catalog.protocols.rows() {
        let mut judged: Vec<Idx<Measure>> = Vec::new();
        for (_, step) in retests(protocol) {
            let Some(idx) = step.measure.as_ref().and_then(|m| m.to).filter(|m| !judged.contains(m)) else { continue };
            judged.push(idx);
            let said = protocol.steps.iter().any(|s| s.borrowed.is_some() && s.measure.as_ref().is_some_and(|m| m.to == Some(idx)));
            let Some(y) = for_protocol(case.catalog, &case.catalog.measures[idx], protocol) else { continue };
            if !y.same_people && !said {
                report(case, protocol, step, &case.catalog.measures[idx], &y, sink);
            }
        }
    }
}

fn report(case: &Case<'_>, protocol: &Protocol, step: &Step, measure: &Measure, y: &Yardstick<'_>, sink: &mut Sink) {
    let who = protocol.population.who.as_ref();
    let people = who.and_then(|w| w.to).map_or("the people of this protocol", |p| &*case.catalog.populations[p].name.value);
    let at = step.measure.as_ref().map_or(step.action.span, crate::model::Ref::span);
    let site = y.error.site.as_ref().map(|s| format!(", {}", s.value)).unwrap_or_default();
    let message =
        format!("step {} uses an error of `{}` from other people or another site than {people}", step.number.value, measure.name.value);
    let finding = sink.report(at, "no error of their own", message);
    if let Some(bounds) = &measure.bounds {
        finding
            .also(y.error.population.span, format!("{} in {}{site}", shown(&bounds.value, y.threshold.change), y.error.population.value));
    }
    if let Some(who) = who {
        finding.also(who.span(), "who is treated");
    }
    finding
        .note("Error is often larger in people with pain than in healthy ones, and differs by rater and site.")
        .help("add an error of these people with its `who`, or say under `borrowed:` of the step why this one may stand for them");
}

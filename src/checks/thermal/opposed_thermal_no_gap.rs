//! Heat and cold on the same skin without time between them.

use super::names;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::ProtocolFacts;
use crate::compute::amount::shown;
use crate::compute::steps::StepFacts;
use crate::compute::thermal::readiness::{Close, gap_of_rules, order_forbids, stressor, times_known, too_close};
use crate::finding::{Finding, Level};
use crate::model::Idx;
use crate::model::docs::{HouseThermal, Protocol, Step};
use crate::model::interval::Interval;
use crate::model::unit::Dim;
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "opposed-thermal-no-gap",
    summary: "heat and cold follow each other on one region without the gap that the limit asks for",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("opposed_thermal_no_gap.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        let house = &case.pack(&protocol.head).thermal;
        let wanted = |a: &StepFacts, b: &StepFacts| wanted(case, house, a, b);
        for close in opposed(&[case.facts.of(idx)], wanted) {
            if let (Some(first), Some(second)) = (protocol.steps.get(close.earlier.step), protocol.steps.get(close.later.step)) {
                let finding = sink.report(second.action.span, "too soon", message(case, house, &close, first, second));
                finding.also(first.action.span, "the opposite just before");
                finish(finding, house);
            }
        }
    }
    for session in case.catalog.sessions.rows() {
        let house = &case.pack(&session.head).thermal;
        let parts: Vec<(Span, Idx<Protocol>)> = session.protocols.iter().filter_map(|r| Some((r.span(), r.to?))).collect();
        let facts: Vec<&ProtocolFacts> = parts.iter().map(|(_, p)| case.facts.of(*p)).collect();
        let found = opposed(&facts, |a, b| wanted(case, house, a, b));
        for close in found.into_iter().filter(|c| c.earlier.part != c.later.part) {
            let step = |at: crate::compute::numb::At| {
                let (span, protocol) = parts.get(at.part)?;
                Some((*span, case.catalog.protocols[*protocol].steps.get(at.step)?))
            };
            if let (Some((_, first)), Some((at, second))) = (step(close.earlier), step(close.later)) {
                let finding = sink.report(at, "too soon after the protocol before it", message(case, house, &close, first, second));
                finding.also(second.action.span, "the later step").also(first.action.span, "the opposite just before");
                finish(finding, house);
            }
        }
    }
}

/// Steps that are too close; where a duration is not known, nothing can be said, and that is reported.
fn opposed(parts: &[&ProtocolFacts], wanted: impl Fn(&StepFacts, &StepFacts) -> Option<f64>) -> Vec<Close> {
    let mut found = too_close(parts, wanted);
    found.retain(|close| times_known(parts, close));
    found
}

/// Least time in seconds between two steps; `None` if they are not opposed, or if their order is
/// forbidden altogether, which is told as that.
fn wanted(case: &Case<'_>, house: &HouseThermal, earlier: &StepFacts, later: &StepFacts) -> Option<f64> {
    let (first, second) = (earlier.technique?, later.technique?);
    let opposed = stressor(earlier)? != stressor(later)?;
    let techniques = &case.catalog.techniques;
    let least = house.opposed_gap.value.max(gap_of_rules(&techniques[first], &techniques[second]));
    // Skin that is still cold from before is told as that.
    let still_cold = super::rewarm_not_respected::wanted(earlier, later).is_some_and(|warm| warm >= least);
    (opposed && !still_cold && !order_forbids(case.catalog, first, second)).then_some(least)
}

fn message(case: &Case<'_>, house: &HouseThermal, close: &Close, first: &Step, second: &Step) -> String {
    let of = |s: &Step| s.technique.to.map(|t| &case.catalog.techniques[t]);
    let rules = of(first).zip(of(second)).map_or(0.0, |(a, b)| gap_of_rules(a, b));
    let time = |s: f64| shown(Dim::Time, Interval::exact(s));
    let (gap, least) = (time(close.gap), time(house.opposed_gap.value.max(rules)));
    let (a, b, places) = (first.number.value, second.number.value, names(&close.places));
    format!("step {b} can follow step {a} on {places} after {gap}, and heat and cold want {least} between them")
}

fn finish(finding: &mut Finding, house: &HouseThermal) {
    if let Some(at) = house.opposed_gap.stated {
        finding.also(at, "the house limit");
    }
    finding
        .note("Skin that is still hot or still cold cannot judge the next temperature.")
        .help("put other steps between the two, or leave one out");
}

//! A re-test taken in another way than its baseline.

use super::{is, retests};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::{JointAngle, Measure, Protocol, Step};
use crate::model::{Catalog, Idx};
use crate::source::{Span, Text};

/// The check.
pub static CHECK: Check = Check {
    name: "retest-differs-from-baseline",
    summary: "a re-test differs from its baseline in position, instrument, readings or rater",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("retest_differs_from_baseline.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        let facts = case.facts.of(idx);
        for (row, retest) in retests(protocol) {
            let Some(measure) = retest.measure.as_ref().and_then(|m| m.to) else { continue };
            let mut before = protocol.steps.iter().enumerate().take(row);
            let taken = |s: &Step| is(s, "baseline") && s.measure.as_ref().is_some_and(|m| m.to == Some(measure));
            let Some((first, baseline)) = before.rfind(|(_, s)| taken(s)) else { continue };
            let position = |row: usize| facts.steps.get(row).and_then(|s| s.position);
            if let (Some(was), Some(now)) = (position(first), position(row))
                && was != now
            {
                let name = |p: Idx<_>| case.catalog.positions[p].name.value.to_string();
                let places = [(first, baseline), (row, retest)].map(|(row, step)| chosen(protocol, row).unwrap_or(step.number.span));
                report(baseline, retest, &Difference { what: "position", was: name(was), now: name(now), places }, sink);
            }
            angles(baseline, retest, sink);
            details(case.catalog, measure, (baseline, retest), sink);
        }
    }
}

struct Difference {
    what: &'static str,
    was: String,
    now: String,
    places: [Span; 2],
}

/// Where the position of a step was named: in itself or before.
fn chosen(protocol: &Protocol, row: usize) -> Option<Span> {
    protocol.steps.iter().take(row + 1).rev().find_map(|s| s.position.as_ref()).map(crate::model::Ref::span)
}

fn angles(baseline: &Step, retest: &Step, sink: &mut Sink) {
    let of = |s: &Step, j: &JointAngle| s.joints.iter().find(|o| o.coordinate.id == j.coordinate.id).map(|o| o.angle.value.base());
    let odd = |a: &Step, b: &Step| a.joints.iter().find(|j| of(b, j) != Some(j.angle.value.base())).map(|j| (j.coordinate.id, j.at));
    let Some((id, at)) = odd(retest, baseline).or_else(|| odd(baseline, retest)) else { return };
    let angle = |s: &Step| {
        let found = s.joints.iter().find(|j| j.coordinate.id == id);
        found.map_or_else(|| format!("{id} not set"), |j| format!("{id} {}", j.angle.value.shown()))
    };
    let place = |s: &Step| s.joints.iter().find(|j| j.coordinate.id == id).map_or(s.number.span, |j| j.at);
    let places = [place(baseline), if retest.joints.is_empty() { place(retest) } else { at }];
    report(baseline, retest, &Difference { what: "joint angle", was: angle(baseline), now: angle(retest), places }, sink);
}

fn details(catalog: &Catalog, measure: Idx<Measure>, (baseline, retest): (&Step, &Step), sink: &mut Sink) {
    let measure = &catalog.measures[measure];
    let usual = |label: &str| measure.how.iter().find(|(l, _)| *l == label).map(|(_, t)| t);
    let rows: [(&'static str, &str, [&Option<Text>; 2]); 3] = [
        ("instrument", "Instrument", [&baseline.taken.instrument, &retest.taken.instrument]),
        ("number of readings", "Readings", [&baseline.taken.repeats, &retest.taken.repeats]),
        ("rater", "Taken by", [&baseline.taken.rater, &retest.taken.rater]),
    ];
    for (what, label, [was, now]) in rows {
        let (Some(first), Some(second)) = (was.as_ref().or(usual(label)), now.as_ref().or(usual(label))) else { continue };
        if first.value.trim().to_lowercase() == second.value.trim().to_lowercase() {
            continue;
        }
        let places = [first.span, second.span];
        report(baseline, retest, &Difference { what, was: first.value.to_string(), now: second.value.to_string(), places }, sink);
    }
}

fn report(baseline: &Step, retest: &Step, d: &Difference, sink: &mut Sink) {
    let (first, second) = (baseline.number.value, retest.number.value);
    let message =
        format!("the re-test of step {second} has another {} than the baseline of step {first}: `{}`, not `{}`", d.what, d.now, d.was);
    sink.report(d.places[1], "another here", message)
        .also(d.places[0], format!("step {first}: {}", d.was))
        .note("The difference of two ways of measuring looks like a change of the person.")
        .help(format!("measure both times with the same {}", d.what));
}

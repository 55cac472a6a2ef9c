//! A target change that repeated measuring alone can give.

use super::stated::changes;
use super::{retests, shown};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::measurement::{self, Yardstick};
use crate::finding::Level;
use crate::model::Kind;
use crate::model::docs::{Measure, Protocol, Step};
use crate::model::interval::Interval;
use crate::model::unit::Dim;
use crate::plan::site::doc;
use crate::source::{Span, Text};

/// The check.
pub static CHECK: Check = Check {
    name: "change-below-error",
    summary: "a target change is smaller than the error of its measure",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("change_below_error.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        for (_, step) in retests(protocol) {
            let Some(change) = step.goal.as_ref().and_then(|g| g.change.as_ref()) else { continue };
            goal(case, protocol, step, (change.value.base().lo, change.value.dim(), change.span), sink);
        }
        if case.english(doc(Kind::Protocol, idx)).is_some() {
            texts(case, protocol, sink);
        }
    }
}

fn goal(case: &Case<'_>, protocol: &Protocol, step: &Step, (change, dim, at): (f64, Dim, Span), sink: &mut Sink) {
    let Some(measure) = step.measure.as_ref().and_then(|m| m.to).map(|m| &case.catalog.measures[m]) else { return };
    let what = format!("the goal of step {} is", step.number.value);
    if let Some(y) = measurement::for_protocol(case.catalog, measure, protocol)
        && fits(measure, dim)
        && y.threshold.covers(change)
    {
        report(measure, &y, &what, (change, at), sink);
    }
}

/// Changes in the words by which a course is decided on, and in what counts as success of a re-test.
fn texts(case: &Case<'_>, protocol: &Protocol, sink: &mut Sink) {
    let decide = [("the course is decided on", &protocol.spacing.decide), ("the plan is changed on", &protocol.change_plan)];
    let decide = decide.into_iter().filter_map(|(what, t)| Some((what, t.as_ref()?)));
    let success = retests(protocol).filter_map(|(_, s)| Some(("a re-test succeeds with", s.success.as_ref()?)));
    for (what, text) in decide.chain(success).collect::<Vec<(&str, &Text)>>() {
        for stated in changes(&text.value) {
            let measures = retests(protocol).filter_map(|(_, s)| s.measure.as_ref()?.to).map(|m| &case.catalog.measures[m]);
            let yard =
                measures.filter(|m| fits(m, stated.dim)).filter_map(|m| Some((m, measurement::for_protocol(case.catalog, m, protocol)?)));
            // Of two measures in one unit the finer one is meant, unless the words say otherwise.
            let finest = yard.min_by(|a, b| a.1.threshold.change.hi.total_cmp(&b.1.threshold.change.hi));
            let Some((measure, y)) = finest.filter(|(_, y)| y.threshold.covers(stated.amount)) else { continue };
            report(measure, &y, what, (stated.amount, case.place(text, stated.range)), sink);
        }
    }
}

fn fits(measure: &Measure, dim: Dim) -> bool {
    measure.bounds.as_ref().is_some_and(|b| b.value.dim() == dim)
}

fn report(measure: &Measure, y: &Yardstick<'_>, what: &str, (change, at): (f64, Span), sink: &mut Sink) {
    let Some(bounds) = &measure.bounds else { return };
    let name = &measure.name.value;
    let (change, error) = (shown(&bounds.value, Interval::exact(change)), shown(&bounds.value, y.threshold.change));
    let least = shown(&bounds.value, Interval::exact(y.threshold.change.hi));
    let level = y.threshold.level.map_or("level not known".into(), |l| format!("{}\u{a0}% sure", l.percent()));
    let place = y.error.mdc.as_ref().or(y.error.sem.as_ref()).map_or(y.error.population.span, |a| a.span);
    let finding = sink.report(at, "can be error alone", format!("{what} a change of {change}, and the error of `{name}` is {error}"));
    finding
        .also(place, format!("{error}, {level}"))
        .note("Two measurings of people who have not changed differ by that much. Below it, a re-test celebrates noise.");
    if !y.same_people {
        finding.note(format!("The measure has no error of its own for these people; this one is of {}.", y.error.population.value));
    }
    finding.help(format!("ask for {least} or more, or say that one person's change is not decided on by this measure"));
}

//! Heat or cold during which nobody looks at the skin for too long.

use super::{Warmed, warmed};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::amount::shown;
use crate::finding::{Finding, Level};
use crate::model::docs::{Amount, HouseNumber};
use crate::model::interval::{Interval, exceeds};
use crate::model::unit::Dim;
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "skin-check-interval-too-long",
    summary: "skin under heat or cold is looked at too late or too seldom",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("skin_check_interval_too_long.md"),
};

/// A look that comes too late: where that is written, and the step in which the wait is longest.
struct Late<'a> {
    at: Span,
    first: bool,
    wait: f64,
    step: &'a Warmed<'a>,
    limit: &'a HouseNumber,
}

fn run(case: &Case<'_>, sink: &mut Sink) {
    let steps = warmed(case);
    let mut worst: Vec<Late<'_>> = Vec::new();
    for late in steps.iter().flat_map(late) {
        match worst.iter_mut().find(|l| l.at == late.at) {
            Some(known) if exceeds(late.wait, known.wait) => *known = late,
            Some(_) => {}
            None => worst.push(late),
        }
    }
    worst.iter().for_each(|l| report(l, sink));
}

/// What is too late in one step; a single finding where first look and interval are the same words.
fn late<'a>(step: &'a Warmed<'a>) -> Vec<Late<'a>> {
    let (technique, house) = (step.item.technique, step.house());
    let lasts = step.lasts().unwrap_or(f64::INFINITY);
    let within = |q: Option<&Amount>| q.map_or(lasts, |q| q.value.base().hi.min(lasts));
    let (own, every) = (step.apparatus.and_then(|a| a.first_check.as_ref()), technique.monitoring_every.as_ref());
    let unsaid = technique.monitoring.as_ref().map_or(technique.name.span, |m| m.span);
    let every_at = every.map_or(unsaid, |q| q.span);
    let mut out = Vec::new();
    let mut add = |at: Span, first: bool, wait: f64, limit: &'a HouseNumber| {
        if exceeds(wait, limit.value) && out.iter().all(|l: &Late<'_>| l.at != at) {
            out.push(Late { at, first, wait, step, limit });
        }
    };
    add(own.map_or(every_at, |q| q.span), true, within(own.or(every)), &house.first_check);
    add(every_at, false, within(every), &house.check_every);
    out
}

fn report(late: &Late<'_>, sink: &mut Sink) {
    let (item, name) = (&late.step.item, &late.step.item.technique.name.value);
    let (limit, wait) = (late.limit.shown(), shown(Dim::Time, Interval::exact(late.wait)));
    let (what, label) = match (late.first, late.wait.is_finite()) {
        (true, true) => (format!("the first look at the skin comes up to {wait} after contact"), format!("up to {wait}")),
        (false, true) => (format!("looks at the skin are up to {wait} apart"), format!("up to {wait}")),
        (true, false) => ("nothing says when the first look at the skin comes".to_string(), "no time is stated".to_string()),
        (false, false) => ("nothing says how often the skin is looked at".to_string(), "no time is stated".to_string()),
    };
    let message = format!("{name}: {what} in {}, and {} is {limit}", item.name, late.limit.whose());
    let finding = sink.report(late.at, label, message);
    finding.also(item.at, "the step");
    stated(finding, late.limit);
    let key = if late.first { "`first-check` of the apparatus, or `every` of `monitoring`," } else { "`every` of `monitoring`" };
    finding.help(format!("set {key} to {limit} or less"));
}

/// Points at a house limit, if it is written down.
fn stated(finding: &mut Finding, limit: &HouseNumber) {
    if let Some(at) = limit.stated {
        finding.also(at, "the house limit");
    }
}

//! Moving cold that stays on one spot for too long.

use super::{Warmed, seconds, warmed};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::thermal::apparatus::{DWELL, PASSES, SPEED, Way, dwell, pass};
use crate::finding::Level;
use crate::model::interval::{Interval, exceeds};
use crate::model::quantity::Quantity;

/// The check.
pub static CHECK: Check = Check {
    name: "cold-dwell-exceeded",
    summary: "moving cold stays on one spot for longer than the limit, all passes together",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("cold_dwell_exceeded.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for step in warmed(case).iter().filter(|w| w.way == Way::Moving) {
        if let Some(total) = dwell(step.apparatus, step.item.dose)
            && exceeds(total.hi, step.house().dwell.value)
        {
            report(step, total, sink);
        }
    }
}

fn report(step: &Warmed<'_>, total: Interval, sink: &mut Sink) {
    let (item, limit) = (&step.item, &step.house().dwell);
    if total.hi.is_infinite() {
        let message = format!("{} may leave cold on one spot without end, and {} is {}", item.name, limit.whose(), limit.shown());
        let finding =
            sink.report(item.entry_at(if item.dose.entry(DWELL).is_some() { DWELL } else { SPEED }), "it may stand still", message);
        finding
            .note("Time of a pass on one spot = footprint divided by speed.")
            .help("give a lowest speed above 0 and a longest footprint");
        return;
    }
    let worst = seconds(Interval::exact(total.hi));
    let most = |name: &str| item.dose.amount(name).map_or_else(String::new, Quantity::shown);
    let one = step.apparatus.and_then(|a| pass(a, item.dose)).filter(|_| item.dose.entry(DWELL).is_none());
    let sum = one.map_or_else(String::new, |one| {
        let slow = seconds(Interval::exact(one.hi));
        format!(" ({slow} a pass at {}, {})", most(SPEED), most(PASSES))
    });
    let message = format!("{} leaves cold on one spot for up to {worst}{sum}, and {} is {}", item.name, limit.whose(), limit.shown());
    let name = if one.is_some() { SPEED } else { DWELL };
    let finding = sink.report(item.entry_at(name), format!("up to {worst} on one spot"), message);
    if let Some(footprint) = step.apparatus.and_then(|a| a.footprint.as_ref()).filter(|_| one.is_some()) {
        finding.also(footprint.span, "cold at one moment");
    }
    if let Some(at) = limit.stated {
        finding.also(at, "the house limit");
    }
    let least = total.hi / limit.value * item.dose.amount(SPEED).map_or(0.0, |q| q.base().lo * 100.0);
    finding.help(match one {
        Some(_) => format!("move at {} cm/s or faster, or give fewer passes", (least * 10.0 - 1e-9).ceil() / 10.0),
        None => format!("stay on one spot for {} or less", limit.shown()),
    });
}

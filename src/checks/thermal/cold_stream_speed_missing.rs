//! Moving cold of which nobody can say how long it stays on one spot.

use super::{Once, Warmed, unknown_at, warmed};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::thermal::apparatus::{DWELL, PASSES, SPEED, Way};
use crate::compute::thermal::memo;
use crate::compute::thermal::scenario::{Exposure, Moving, Scenario};
use crate::compute::thermal::spoken::{degrees, time};
use crate::finding::Level;
use crate::model::vocabulary::ThermalSource;
use std::sync::Arc;

/// The check.
pub static CHECK: Check = Check {
    name: "cold-stream-speed-missing",
    summary: "moving cold without speed, passes or footprint: nobody can say how long it stays on one spot",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("cold_stream_speed_missing.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let mut once = Once::default();
    let moving = warmed(case);
    for step in moving.iter().filter(|w| w.way == Way::Moving && w.item.dose.entry(DWELL).is_none()) {
        dose(step, sink);
        footprint(step, &mut once, sink);
    }
}

fn dose(step: &Warmed<'_>, sink: &mut Sink) {
    let item = &step.item;
    let missing: Vec<&str> = [SPEED, PASSES].into_iter().filter(|p| item.dose.entry(p).is_none()).collect();
    if missing.is_empty() {
        return;
    }
    let list = missing.iter().map(|p| format!("`{p}`")).collect::<Vec<_>>().join(" and no ");
    let message = format!("{} moves cold over the skin and gives no {list}", item.name);
    let finding = sink.report(item.dose_at(), "how long on one spot?", message);
    for parameter in missing.iter().filter_map(|p| item.technique.parameter(p)) {
        finding.also(parameter.name.span, "the parameter of the technique");
    }
    if let Some(still) = step.apparatus.and_then(|a| held_still(a.source.value)) {
        let (low, numb) = (
            degrees(still.worst().skin_min),
            still.worst().first_numb.map_or_else(String::new, |t| format!(", and below 13.6 °C after {}", time(t))),
        );
        finding.note(format!("Held still for 10 s it takes skin down to {low} in the model{numb}: the speed is what makes it safe."));
    }
    finding.help(format!("add {} to the dose, or `{DWELL}:`, the time on one spot in seconds", list.replace(" and no ", " and ")));
}

/// What 10 s on one spot do.
fn held_still(source: ThermalSource) -> Option<Arc<Exposure>> {
    memo::exposure(&Scenario::Moving(Moving { source, dwell: 10.0, passes: 1, gap: 0.0, limb: true }))
}

/// Reports an apparatus without a footprint, or a dose that fits none.
fn footprint(step: &Warmed<'_>, once: &mut Once, sink: &mut Sink) {
    let (at, label, key) = match step.apparatus {
        Some(a) if a.footprint.is_some() => return,
        Some(a) => (a.source.span, "how long is its trail?", "`footprint:` to this entry"),
        None => (unknown_at(&step.item), "what is the source?", "`thermal:` to the technique, with `source` and `footprint`"),
    };
    if once.first(at) {
        let name = &step.item.technique.name.value;
        let message = format!("{name} does not say how much skin is cold at one moment in {}", step.item.name);
        sink.report(at, label, message)
            .also(step.item.at, "the moving cold")
            .note("Time of a pass on one spot = footprint divided by speed.")
            .help(format!("add {key}: the length along the path that is cold at one moment, for instance `2 cm`"));
    }
}

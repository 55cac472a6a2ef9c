//! Cold that takes the skin below the floor.

use super::{Warmed, warmed};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::thermal::apparatus::{SPEED, Way, dwell};
use crate::compute::thermal::spoken::{degrees, time};
use crate::finding::Level;
use crate::model::interval::exceeds;

/// The check.
pub static CHECK: Check = Check {
    name: "cold-floor-crossed",
    summary: "cold takes the skin below the lowest temperature allowed",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("cold_floor_crossed.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for step in warmed(case).iter().filter(|s| !told_by_dwell(s)) {
        let (item, house) = (&step.item, step.house());
        let Some(thermal) = item.facts.thermal.as_ref().filter(|t| !t.exposure.scenario.is_heat()) else { continue };
        let (floor, name) = if step.way == Way::Moving { (&house.stream_floor, SPEED) } else { (&house.cold_floor, "time") };
        let worst = thermal.exposure.worst();
        if !exceeds(floor.value, worst.skin_min) {
            continue;
        }
        let low = degrees(worst.skin_min);
        let message = format!("{} takes skin down to {low} in the model, and {} is {}", item.name, floor.whose(), floor.shown());
        let finding = sink.report(item.entry_at(name), format!("down to {low}"), message);
        if let Some(at) = floor.stated {
            finding.also(at, "the house floor");
        }
        finding.note(format!("Skin is below 10 °C for {} and below 0 °C for {}.", time(worst.below[2]), time(worst.below[3])));
        finding.help(if step.way == Way::Moving {
            "move faster, or give fewer passes with more time between"
        } else {
            "shorten the time, or put a dry layer between"
        });
    }
}

/// A slow stream is told as slow; the floor would say the same once more.
fn told_by_dwell(step: &Warmed<'_>) -> bool {
    step.way == Way::Moving && dwell(step.apparatus, step.item.dose).is_some_and(|d| exceeds(d.hi, step.house().dwell.value))
}

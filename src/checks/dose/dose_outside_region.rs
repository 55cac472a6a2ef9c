//! A step above the limit of the region on which it acts.

use super::item::items;
use super::step_limits::{groups, passed, place_of};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "dose-outside-region",
    summary: "a step is above the limit of the region on which it acts",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("dose_outside_region.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for item in items(case) {
        let passed = passed(&item, true);
        for group in groups(&passed) {
            let [first, others @ ..] = group else { continue };
            let (place, most) = (place_of(&item, first.limit), first.max.value.shown());
            let stressor = first.limit.stressor.word();
            let message = format!("{} gives {stressor} up to {} on {place}, where {most} is the limit for a step", item.name, first.given);
            let finding = sink.report(first.at, format!("acts on {place}"), message);
            finding.also(first.max.span, "the limit of the region");
            for other in others {
                finding.also(other.max.span, format!("passed as well, on {}", place_of(&item, other.limit)));
            }
            finding.help(format!("lower it to {most} or less, or move the step to another region"));
        }
    }
}

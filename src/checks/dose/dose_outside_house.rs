//! A step above a limit that holds for every step.

use super::item::items;
use super::step_limits::{groups, passed};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "dose-outside-house",
    summary: "a step is above the house limit for one step",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("dose_outside_house.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for item in items(case) {
        let passed = passed(&item, false);
        for group in groups(&passed) {
            let [first, others @ ..] = group else { continue };
            let (most, stressor) = (first.max.value.shown(), first.limit.stressor.word());
            let whose = |house: bool| if house { "the house".to_string() } else { item.technique.name.value.to_string() };
            let message =
                format!("{} gives {stressor} up to {}, and {} allows {most} in a step", item.name, first.given, whose(first.house));
            let finding = sink.report(first.at, format!("up to {}", first.given), message);
            finding.also(first.max.span, format!("the limit of {}", whose(first.house)));
            for other in others {
                finding.also(other.max.span, format!("passed as well, the limit of {}", whose(other.house)));
            }
            finding.help(format!("lower the dose until the step gives {most} or less in its worst case"));
        }
    }
}

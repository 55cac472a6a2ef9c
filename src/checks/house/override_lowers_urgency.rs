//! Red flags that are gone, later or go to a weaker destination.

use super::loosened::report;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::compare::Topic;
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "override-lowers-urgency",
    summary: "a red flag of a house pack is gone, later or sent elsewhere than in the base pack",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("override_lowers_urgency.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let topics = [Topic::Flag, Topic::Urgency, Topic::Destination];
    report(case, sink, &topics, "Hours count with some of these signs.");
}

//! Higher totals and peaks than in the base pack.

use super::loosened::report;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::compare::Topic;
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "override-loosens-total",
    summary: "a total, peak or dose of a house pack is higher than in the base pack",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("override_loosens_total.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let topics = [Topic::Total, Topic::Peak, Topic::Dose, Topic::Rest];
    report(case, sink, &topics, "A worst case that is higher than in the base pack was found safe by nobody.");
}

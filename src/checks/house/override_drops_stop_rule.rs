//! Missing or weaker stop rules.

use super::loosened::report;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::compare::Topic;
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "override-drops-stop-rule",
    summary: "a stop rule of a house pack is gone or weaker than in the base pack",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("override_drops_stop_rule.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let topics = [Topic::StopRule];
    report(case, sink, &topics, "A stop rule is the last thing between a sign and a harm.");
}

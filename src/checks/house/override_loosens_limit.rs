//! Looser limits than in the base pack.

use super::loosened::report;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::compare::Topic;
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "override-loosens-limit",
    summary: "a limit of a house pack is looser than in the base pack",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("override_loosens_limit.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let topics = [Topic::Limit];
    report(case, sink, &topics, "Every protocol that is written from now on inherits the limit.");
}

//! Weaker cautions than in the base pack.

use super::loosened::report;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::compare::Topic;
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "override-drops-caution",
    summary: "a caution of a house pack is weaker than in the base pack, or gone",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("override_drops_caution.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let topics = [Topic::Caution];
    report(case, sink, &topics, "A caution is derived from conditions and techniques; whoever weakens one weakens it on every page.");
}

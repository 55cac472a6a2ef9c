//! More people let in than in the base pack.

use super::loosened::report;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::compare::Topic;
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "override-widens-population",
    summary: "a house pack treats more people, or lets more people treat, than the base pack",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("override_widens_population.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let topics = [Topic::Population, Topic::Training];
    report(case, sink, &topics, "Doses and limits were set for the people of the base pack.");
}

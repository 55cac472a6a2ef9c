//! Missing consent, screening, tests, watching and re-tests.

use super::loosened::report;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::compare::Topic;
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "override-removes-safeguard",
    summary: "consent, screening, a test, watching or a re-test is gone or rarer than in the base pack",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("override_removes_safeguard.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let topics = [Topic::Consent, Topic::Screening, Topic::SensationTest, Topic::Monitoring, Topic::Interval, Topic::Retest];
    report(case, sink, &topics, "It saves a minute and is missed once.");
}

//! The worst case on one palpation point passes its limit.

use super::sums::{self, Wanted, lower, over, passed};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::ledger::{Bound, Cell, Key};
use crate::finding::Level;
use crate::model::vocabulary::Per;

/// The check.
pub static CHECK: Check = Check {
    name: "point-total-exceeded",
    summary: "what the steps of a session add up to on one point passes its limit",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("point_total_exceeded.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let wanted = Wanted { limits, at_fault: over, verdict: passed, help: lower };
    sums::run(case, sink, &wanted);
}

fn limits(cell: &Cell, bound: &Bound) -> bool {
    bound.per == Per::Point && matches!(cell.key, Key::Point(..))
}

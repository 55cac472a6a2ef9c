//! The worst case on one patch of skin passes a session limit.

use super::sums::{self, Wanted, lower, over, passed};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::ledger::{Bound, Cell, Key};
use crate::finding::Level;
use crate::model::vocabulary::Per;

/// The check.
pub static CHECK: Check = Check {
    name: "region-total-exceeded",
    summary: "what the steps of a session add up to on one region passes its limit",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("region_total_exceeded.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let wanted = Wanted { limits, at_fault: over, verdict: passed, help: lower };
    sums::run(case, sink, &wanted);
}

fn limits(cell: &Cell, bound: &Bound) -> bool {
    bound.per == Per::Session && matches!(cell.key, Key::Skin(..))
}

//! Clinic and home together pass a weekly limit.

use super::sums::{self, Told, Wanted, over, passed};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::ledger::{Bound, Cell};
use crate::finding::Level;
use crate::model::vocabulary::Per;

/// The check.
pub static CHECK: Check = Check {
    name: "weekly-total-exceeded",
    summary: "clinic and home together pass a weekly limit",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("weekly_total_exceeded.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let wanted = Wanted { limits, at_fault: over, verdict: passed, help };
    sums::run(case, sink, &wanted);
}

fn limits(_: &Cell, bound: &Bound) -> bool {
    bound.per == Per::Week
}

fn help(told: &Told) -> String {
    format!("take {} a week out of the worst case: fewer holds or days at home, or a shorter dose in the clinic", told.apart)
}

//! The worst case on one patch of skin comes close to a session limit.

use super::sums::{self, Told, Wanted};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::ledger::{Bound, Cell, Key};
use crate::finding::Level;
use crate::model::interval::exceeds;
use crate::model::vocabulary::Per;

/// The check.
pub static CHECK: Check = Check {
    name: "region-total-borderline",
    summary: "what the steps of a session add up to on one region is close to its limit",
    level: Level::Note,
    run: Run::Facts(run),
    page: include_str!("region_total_borderline.md"),
};

/// Share of a limit from which the next edit may pass it. A convention of the tool.
const CLOSE: f64 = 0.8;

fn run(case: &Case<'_>, sink: &mut Sink) {
    let wanted = Wanted { limits, at_fault: close, verdict, help };
    sums::run(case, sink, &wanted);
}

fn limits(cell: &Cell, bound: &Bound) -> bool {
    bound.per == Per::Session && matches!(cell.key, Key::Skin(..))
}

/// A total that meets its limit exactly was set so; one just below it is the one to watch.
fn close(worst: f64, limit: f64) -> bool {
    exceeds(worst, CLOSE * limit) && exceeds(limit, worst)
}

fn verdict(told: &Told) -> String {
    format!("{} adds up to {} at worst, close to the limit of {} {}", told.what, told.worst, told.limit, told.per)
}

fn help(told: &Told) -> String {
    format!("leave it, and mind that only {} are left for the next change", told.apart)
}

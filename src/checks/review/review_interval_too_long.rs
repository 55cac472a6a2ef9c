//! An approval that puts the next look too far off.

use super::entries;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::Kind;
use jiff::ToSpan;

/// The check.
pub static CHECK: Check = Check {
    name: "review-interval-too-long",
    summary: "an approval puts the next review later than 36 months off, or 12 for a red flag",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("review_interval_too_long.md"),
};

/// Longest time to the next review in months. House line, no source; that about one recommendation in five no longer holds
/// after three years is from memory.
const MOST: i32 = 36;

/// The same for red flags and where they lead: services move. House rule, no source.
const MOST_FOR_FLAGS: i32 = 12;

fn run(case: &Case<'_>, sink: &mut Sink) {
    for entry in entries::in_force(case) {
        let approval = &entry.approval;
        let most = if approval.document.kind == Kind::Flag { MOST_FOR_FLAGS } else { MOST };
        let last = approval.date.saturating_add(most.months());
        if approval.review_by > last {
            let message = format!("`{}` was approved on {} for longer than {most} months", approval.document, approval.date);
            sink.report(entry.at("review-by"), "too far off", message).help(format!("approve again with a review by {last} at the latest"));
        }
    }
}

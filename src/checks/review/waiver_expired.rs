//! A waiver or raised level past its last day.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "waiver-expired",
    summary: "the last day of a waiver or raised level has passed",
    level: Level::Error,
    run: Run::WhileAllowing,
    page: include_str!("waiver_expired.md"),
};

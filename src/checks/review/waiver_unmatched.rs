//! A waiver or raised level that matches nothing.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "waiver-unmatched",
    summary: "a waiver or raised level matches nothing",
    level: Level::Error,
    run: Run::WhileAllowing,
    page: include_str!("waiver_unmatched.md"),
};

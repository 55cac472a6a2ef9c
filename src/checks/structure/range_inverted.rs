//! A range that runs from high to low.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "range-inverted",
    summary: "a range runs from high to low",
    level: Level::Error,
    run: Run::WhileLoading,
    page: include_str!("range_inverted.md"),
};

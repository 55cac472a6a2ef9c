//! A number that is not possible for what it measures.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "number-out-of-bounds",
    summary: "a number lies outside what is possible",
    level: Level::Error,
    run: Run::WhileLoading,
    page: include_str!("number_out_of_bounds.md"),
};

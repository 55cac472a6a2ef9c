//! A side that a region does not have.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "side-impossible",
    summary: "a region has no such side",
    level: Level::Error,
    run: Run::WhileLoading,
    page: include_str!("side_impossible.md"),
};

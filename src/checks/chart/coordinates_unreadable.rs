//! Coordinates that are no pairs of plain numbers, or too few or too many of them.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "coordinates-unreadable",
    summary: "coordinates are no pairs of numbers, or too few or too many",
    level: Level::Error,
    run: Run::WhileLoading,
    page: include_str!("coordinates_unreadable.md"),
};

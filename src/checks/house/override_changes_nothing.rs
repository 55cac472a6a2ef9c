//! A change without effect.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "override-changes-nothing",
    summary: "a change of a house pack says what the base pack says already",
    level: Level::Warning,
    run: Run::WhileLoading,
    page: include_str!("override_changes_nothing.md"),
};

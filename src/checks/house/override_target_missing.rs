//! A change whose document, item or key is not in the base pack.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "override-target-missing",
    summary: "a change of a house pack leads to nothing in the base pack",
    level: Level::Error,
    run: Run::WhileLoading,
    page: include_str!("override_target_missing.md"),
};

//! A key that stands twice in one mapping.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "duplicate-key",
    summary: "a key stands twice in one mapping",
    level: Level::Error,
    run: Run::WhileLoading,
    page: include_str!("duplicate_key.md"),
};

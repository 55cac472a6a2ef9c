//! A key that no kind of document has at this place.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "unknown-key",
    summary: "a key is not known at its place",
    level: Level::Error,
    run: Run::WhileLoading,
    page: include_str!("unknown_key.md"),
};

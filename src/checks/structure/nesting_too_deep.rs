//! Values nested deeper than any document needs.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "nesting-too-deep",
    summary: "values are nested deeper than any document needs",
    level: Level::Error,
    run: Run::WhileLoading,
    page: include_str!("nesting_too_deep.md"),
};

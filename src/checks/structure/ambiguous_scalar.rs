//! A bare value on which readers of YAML disagree.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "ambiguous-scalar",
    summary: "a bare value is read differently by different readers",
    level: Level::Error,
    run: Run::WhileLoading,
    page: include_str!("ambiguous_scalar.md"),
};

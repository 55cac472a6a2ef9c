//! A name that leads to nothing.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "link-missing",
    summary: "a name leads to nothing",
    level: Level::Error,
    run: Run::WhileLinking,
    page: include_str!("link_missing.md"),
};

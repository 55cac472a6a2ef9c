//! Two drawings of one thing in one view.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "drawn-twice",
    summary: "a muscle or a point is drawn twice in one view",
    level: Level::Error,
    run: Run::WhileLoading,
    page: include_str!("drawn_twice.md"),
};

//! An outline that crosses or touches itself.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "outline-crosses-itself",
    summary: "an outline on the body chart crosses itself",
    level: Level::Error,
    run: Run::WhileLoading,
    page: include_str!("outline_crosses_itself.md"),
};

//! The same inputs made other bytes than last time. Found while a site is built over another.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "build-not-repeatable",
    summary: "the same packs made a file with other bytes than last time",
    level: Level::Error,
    run: Run::WhileWriting,
    page: include_str!("build_not_repeatable.md"),
};

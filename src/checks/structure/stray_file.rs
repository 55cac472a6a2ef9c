//! A file that is no part of a pack.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "stray-file",
    summary: "a file is no part of a pack and is ignored",
    level: Level::Warning,
    run: Run::WhileLoading,
    page: include_str!("stray_file.md"),
};

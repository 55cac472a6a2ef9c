//! A file that is no text, or too large.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "file-unreadable",
    summary: "a file is no UTF-8 text or is too large",
    level: Level::Error,
    run: Run::WhileLoading,
    page: include_str!("file_unreadable.md"),
};

//! Hidden characters in a file.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "text-hygiene",
    summary: "a character that is not visible changes what is read",
    level: Level::Error,
    run: Run::WhileLoading,
    page: include_str!("text_hygiene.md"),
};

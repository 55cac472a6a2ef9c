//! An id that is not the name of its file, or that two documents share.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "id-matches-file",
    summary: "an id differs from its file name, stands twice or has illegal characters",
    level: Level::Error,
    run: Run::WhileLinking,
    page: include_str!("id_matches_file.md"),
};

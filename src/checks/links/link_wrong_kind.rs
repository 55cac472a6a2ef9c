//! A name that leads to a document of another kind.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "link-wrong-kind",
    summary: "a name leads to a document of another kind",
    level: Level::Error,
    run: Run::WhileLinking,
    page: include_str!("link_wrong_kind.md"),
};

//! A link that leads out of the pack.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "symlink-outside-pack",
    summary: "a link in a pack leads out of the pack",
    level: Level::Error,
    run: Run::WhileLoading,
    page: include_str!("symlink_outside_pack.md"),
};

//! No pack where the base pack should be.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "base-pack-missing",
    summary: "there is no pack where the base pack should be",
    level: Level::Error,
    run: Run::WhileLoading,
    page: include_str!("base_pack_missing.md"),
};

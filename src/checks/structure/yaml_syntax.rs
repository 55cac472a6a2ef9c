//! A file that is no YAML.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "yaml-syntax",
    summary: "a file cannot be read as YAML",
    level: Level::Error,
    run: Run::WhileLoading,
    page: include_str!("yaml_syntax.md"),
};

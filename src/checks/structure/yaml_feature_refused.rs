//! Features of YAML that packs do not allow.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "yaml-feature-refused",
    summary: "a feature of YAML is used that packs do not allow",
    level: Level::Error,
    run: Run::WhileLoading,
    page: include_str!("yaml_feature_refused.md"),
};

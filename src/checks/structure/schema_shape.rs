//! A document that does not have the shape of its kind.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "schema-shape",
    summary: "a document does not have the shape that its kind requires",
    level: Level::Error,
    run: Run::WhileLoading,
    page: include_str!("schema_shape.md"),
};

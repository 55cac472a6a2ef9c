//! Raw HTML in a text.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "raw-html",
    summary: "a text holds raw HTML",
    level: Level::Error,
    run: Run::WhileLinking,
    page: include_str!("raw_html.md"),
};

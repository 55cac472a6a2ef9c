//! A link that leads out of the site.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "outside-link",
    summary: "a text links to an address outside the site",
    level: Level::Error,
    run: Run::WhileLinking,
    page: include_str!("outside_link.md"),
};

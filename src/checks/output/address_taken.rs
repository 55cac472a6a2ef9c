//! A document whose page would take the place of another. Found while the site is planned.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "address-taken",
    summary: "two pages would have one address",
    level: Level::Error,
    run: Run::WhileWriting,
    page: include_str!("address_taken.md"),
};

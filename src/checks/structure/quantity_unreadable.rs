//! A quantity that cannot be read.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "quantity-unreadable",
    summary: "a quantity cannot be read",
    level: Level::Error,
    run: Run::WhileLoading,
    page: include_str!("quantity_unreadable.md"),
};

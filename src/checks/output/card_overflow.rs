//! An item that is higher than a card face. Found while the cards are planned.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "card-overflow",
    summary: "an item does not fit on a card",
    level: Level::Error,
    run: Run::WhileWriting,
    page: include_str!("card_overflow.md"),
};

//! A letter that the typeface of a printed card lacks. Found while cards are set for printing.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "card-letter-missing",
    summary: "a card has a letter that its typeface cannot print",
    level: Level::Error,
    run: Run::WhileWriting,
    page: include_str!("card_letter_missing.md"),
};

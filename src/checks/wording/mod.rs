//! Checks of the area "wording".

use super::Check;

mod claim_cure;
mod claim_uncited;
mod error_prone_notation;
mod protected_words;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[&claim_cure::CHECK, &claim_uncited::CHECK, &error_prone_notation::CHECK, &protected_words::CHECK];

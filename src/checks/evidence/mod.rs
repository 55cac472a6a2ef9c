//! Checks of the area "evidence": sources, results, certainty, and the claims that rest on them.

use super::Check;

mod identifier_invalid;
mod limit_rests_on_one_source;
mod quote_too_long;
mod source_never_used;

/// Checks of this area.
pub static CHECKS: &[&Check] =
    &[&identifier_invalid::CHECK, &limit_rests_on_one_source::CHECK, &quote_too_long::CHECK, &source_never_used::CHECK];

//! Checks of the area "evidence": sources, results, certainty, and the claims that rest on them.

use super::Check;

mod citation_key_ambiguous;
mod cite_without_locator;
mod identifier_invalid;
mod limit_rests_on_one_source;
mod quote_too_long;
mod secondary_citation;
mod source_never_used;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[
    &citation_key_ambiguous::CHECK,
    &cite_without_locator::CHECK,
    &identifier_invalid::CHECK,
    &limit_rests_on_one_source::CHECK,
    &quote_too_long::CHECK,
    &secondary_citation::CHECK,
    &source_never_used::CHECK,
];

//! Checks of the area "evidence".

use super::Check;

mod citation_key_ambiguous;
mod cite_without_locator;
mod identifier_invalid;
mod secondary_citation;

/// Checks of this area.
pub static CHECKS: &[&Check] =
    &[&citation_key_ambiguous::CHECK, &cite_without_locator::CHECK, &identifier_invalid::CHECK, &secondary_citation::CHECK];

//! Checks of the area "evidence".

use super::Check;

mod limit_rests_on_one_source;
mod quote_too_long;
mod source_never_used;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[
    &limit_rests_on_one_source::CHECK,
    &quote_too_long::CHECK,
    &source_never_used::CHECK,
];

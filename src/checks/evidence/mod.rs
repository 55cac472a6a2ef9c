//! Checks of the area "evidence".

use super::Check;

mod identifier_invalid;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[&identifier_invalid::CHECK];

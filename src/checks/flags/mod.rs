//! Checks of the area "flags".

use super::Check;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[];

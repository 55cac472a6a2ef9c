//! Checks of the area "anatomy".

use super::Check;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[];

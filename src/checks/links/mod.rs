//! Checks of the area "links".

use super::Check;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[];

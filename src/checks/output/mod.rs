//! Checks of the area "output".

use super::Check;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[];

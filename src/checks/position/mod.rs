//! Checks of the area "position".

use super::Check;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[];

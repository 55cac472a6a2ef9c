//! Checks of the area "order".

use super::Check;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[];

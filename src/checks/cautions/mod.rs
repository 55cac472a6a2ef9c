//! Checks of the area "cautions".

use super::Check;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[];

//! Checks of the area "totals".

use super::Check;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[];

//! Checks of the area "review".

use super::Check;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[];

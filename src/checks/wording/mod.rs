//! Checks of the area "wording".

use super::Check;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[];

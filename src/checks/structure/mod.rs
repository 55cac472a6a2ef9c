//! Checks of the area "structure".

use super::Check;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[];

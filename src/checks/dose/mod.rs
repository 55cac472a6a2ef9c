//! The dose of one step, against its technique, its region and the house.

use super::Check;

mod dose_outside_technique;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[&dose_outside_technique::CHECK];

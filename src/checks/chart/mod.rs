//! Checks of the area "chart": geometry on the body chart, and words that must agree with it.

use super::Check;

mod coordinates_off_chart;
mod coordinates_unreadable;
mod outline_crosses_itself;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[&coordinates_off_chart::CHECK, &coordinates_unreadable::CHECK, &outline_crosses_itself::CHECK];

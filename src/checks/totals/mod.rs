//! What adds up: over a session, over a week, over the time of an appointment.

use super::Check;

mod point_total_exceeded;
mod region_total_borderline;
mod region_total_exceeded;
mod stretch_total_exceeded;
mod sums;
mod weekly_total_exceeded;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[
    &point_total_exceeded::CHECK,
    &region_total_borderline::CHECK,
    &region_total_exceeded::CHECK,
    &stretch_total_exceeded::CHECK,
    &weekly_total_exceeded::CHECK,
];

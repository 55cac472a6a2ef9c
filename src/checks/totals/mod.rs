//! What adds up: over a session, over a week, over the time of an appointment.

use super::Check;

mod appointment_overrun;
mod course_without_review;
mod dose_below_useful;
mod exposures;
mod home_dose_uncounted;
mod point_total_exceeded;
mod region_total_borderline;
mod region_total_exceeded;
mod rest_too_short;
mod session_spacing_too_close;
mod stated_total_differs;
mod step_time_unknown;
mod stretch_total_exceeded;
mod sums;
mod thumb_time_high;
mod weekly_total_exceeded;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[
    &appointment_overrun::CHECK,
    &course_without_review::CHECK,
    &dose_below_useful::CHECK,
    &home_dose_uncounted::CHECK,
    &point_total_exceeded::CHECK,
    &region_total_borderline::CHECK,
    &region_total_exceeded::CHECK,
    &rest_too_short::CHECK,
    &session_spacing_too_close::CHECK,
    &stated_total_differs::CHECK,
    &step_time_unknown::CHECK,
    &stretch_total_exceeded::CHECK,
    &thumb_time_high::CHECK,
    &weekly_total_exceeded::CHECK,
];

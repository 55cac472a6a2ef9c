//! The dose of one step, against its technique, its region and the house.

use super::Check;

mod dose_beyond_studied;
mod dose_open_ended;
mod dose_outside_house;
mod dose_outside_region;
mod dose_outside_technique;
mod dose_parameter_missing;
mod dose_range_too_wide;
mod force_without_area;
mod free_amounts;
pub mod item;
mod mixed_pressure_units;
mod pain_cap_missing;
mod pain_cap_too_high;
mod start_rule_missing;
mod step_limits;
mod stop_rule_missing;
mod studied_dose_not_reported;
mod studied_words;
mod text_number_differs;
mod vague_dose_word;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[
    &dose_beyond_studied::CHECK,
    &dose_open_ended::CHECK,
    &dose_outside_house::CHECK,
    &dose_outside_region::CHECK,
    &dose_outside_technique::CHECK,
    &dose_parameter_missing::CHECK,
    &dose_range_too_wide::CHECK,
    &force_without_area::CHECK,
    &mixed_pressure_units::CHECK,
    &pain_cap_missing::CHECK,
    &pain_cap_too_high::CHECK,
    &start_rule_missing::CHECK,
    &stop_rule_missing::CHECK,
    &studied_dose_not_reported::CHECK,
    &text_number_differs::CHECK,
    &vague_dose_word::CHECK,
];

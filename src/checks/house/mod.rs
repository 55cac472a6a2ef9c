//! Checks of the area "house": packs that build on another.

use super::Check;

mod base_pack_differs;
mod base_pack_missing;
mod edition_not_satisfied;
mod licence_forbids_change;
mod loosened;
mod near_copy_without_extends;
mod override_base_moved;
mod override_changes_nothing;
mod override_copies_whole;
mod override_drops_caution;
mod override_drops_stop_rule;
mod override_loosens_limit;
mod override_loosens_total;
mod override_lowers_urgency;
mod override_reason_expired;
mod override_reason_missing;
mod override_removes_safeguard;
mod override_target_missing;
mod override_widens_population;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[
    &base_pack_differs::CHECK,
    &base_pack_missing::CHECK,
    &edition_not_satisfied::CHECK,
    &licence_forbids_change::CHECK,
    &near_copy_without_extends::CHECK,
    &override_base_moved::CHECK,
    &override_changes_nothing::CHECK,
    &override_copies_whole::CHECK,
    &override_drops_caution::CHECK,
    &override_drops_stop_rule::CHECK,
    &override_loosens_limit::CHECK,
    &override_loosens_total::CHECK,
    &override_lowers_urgency::CHECK,
    &override_reason_expired::CHECK,
    &override_reason_missing::CHECK,
    &override_removes_safeguard::CHECK,
    &override_target_missing::CHECK,
    &override_widens_population::CHECK,
];

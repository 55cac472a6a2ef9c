//! Checks of the area "review".

use super::Check;

mod audit_row_stale;
mod dates_impossible;
mod review_due_soon;
mod review_overdue;
mod waiver_expired;
mod waiver_unmatched;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[
    &audit_row_stale::CHECK,
    &dates_impossible::CHECK,
    &review_due_soon::CHECK,
    &review_overdue::CHECK,
    &waiver_expired::CHECK,
    &waiver_unmatched::CHECK,
];

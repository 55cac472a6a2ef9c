//! Checks of the area "review": sign-off, the ledger, dates, waivers.

use super::Check;

mod approver_role_missing;
mod audit_row_stale;
pub mod card_superseded;
mod danger_without_reason;
mod dates_impossible;
mod edition_not_raised;
mod editions;
mod entries;
mod erratum_not_borne_out;
mod incident_open;
mod interests_undeclared;
mod kept_edition_damaged;
mod ledger_broken;
mod named;
mod review_due_soon;
mod review_interval_too_long;
mod review_overdue;
mod self_approval;
mod signature_invalid;
mod signed_digest_differs;
mod standing_unexplained;
mod unsigned;
mod waiver_expired;
mod waiver_unmatched;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[
    &approver_role_missing::CHECK,
    &audit_row_stale::CHECK,
    &card_superseded::CHECK,
    &danger_without_reason::CHECK,
    &dates_impossible::CHECK,
    &edition_not_raised::CHECK,
    &erratum_not_borne_out::CHECK,
    &incident_open::CHECK,
    &interests_undeclared::CHECK,
    &kept_edition_damaged::CHECK,
    &ledger_broken::CHECK,
    &review_due_soon::CHECK,
    &review_interval_too_long::CHECK,
    &review_overdue::CHECK,
    &self_approval::CHECK,
    &signature_invalid::CHECK,
    &signed_digest_differs::CHECK,
    &standing_unexplained::CHECK,
    &unsigned::CHECK,
    &waiver_expired::CHECK,
    &waiver_unmatched::CHECK,
];

/// True for a check that judges sign-off, the ledger or the days of review.
pub fn is_about_signing(name: &str) -> bool {
    CHECKS.iter().any(|c| c.name == name && !name.starts_with("waiver") && !matches!(name, "audit-row-stale" | "erratum-not-borne-out"))
}

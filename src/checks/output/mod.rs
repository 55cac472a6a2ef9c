//! Checks of the area "output": they look at the rendered files, before anything is written.
//!
//! It is not enough to compute a caution; it has to be found on the page and on the card.

use super::Check;
use crate::finding::{Finding, Level};
use crate::model::Catalog;
use crate::model::docs::Head;
use crate::source::Span;

mod build_not_repeatable;
mod card_identity_missing;
mod caution_missing_from_output;
mod flag_not_first;
mod html;
mod notice_missing;
mod outside_request;
mod site_link_broken;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[
    &build_not_repeatable::CHECK,
    &card_identity_missing::CHECK,
    &caution_missing_from_output::CHECK,
    &flag_not_first::CHECK,
    &notice_missing::CHECK,
    &outside_request::CHECK,
    &site_link_broken::CHECK,
];

/// Findings for files that the same inputs made with other bytes last time.
pub fn unrepeatable(paths: &[&str], catalog: &Catalog) -> Option<Finding> {
    let first = paths.first()?;
    let at = catalog.packs.rows().first()?.head.at;
    let message = format!("the same packs made `{first}` with other bytes than last time");
    let mut finding = Finding::new(build_not_repeatable::CHECK.name, Level::Error, at, "this pack", message);
    finding.note(format!("{} files differ", paths.len())).help("look for a date, a random number or an order of its own in your templates");
    Some(finding)
}

/// Where a finding about the output of a document points: its id.
fn place_of(head: &Head) -> Span {
    if head.id.span.start == head.id.span.end { head.at } else { head.id.span }
}

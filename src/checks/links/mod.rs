//! Checks of the area "links".

use super::Check;

mod link_cycle;
mod link_missing;
mod link_to_retired;
mod link_wrong_kind;
mod orphan_document;
mod outside_link;
mod raw_html;
mod source_duplicate;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[
    &link_cycle::CHECK,
    &link_missing::CHECK,
    &link_to_retired::CHECK,
    &link_wrong_kind::CHECK,
    &orphan_document::CHECK,
    &outside_link::CHECK,
    &raw_html::CHECK,
    &source_duplicate::CHECK,
];

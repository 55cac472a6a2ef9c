//! Checks of the area "position": where the person lies, what is bare, who may do what, with what.

use super::Check;
use crate::model::docs::{Places, Step};
use crate::model::region::{Place, RegionId, Tag, regions};
use crate::source::Span;
use std::collections::BTreeSet;

mod allergen_unstated;
mod drape_state_missing;
mod equipment_unlisted;
mod internal_technique_unauthorised;
mod population_unstated;
mod position_blocked_by_condition;
mod position_missing;
mod region_not_treated;
mod scope_exceeded;
mod sensitive_region_consent_missing;
mod support_missing;
mod target_not_reachable;
mod turns_above_minimum;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[
    &allergen_unstated::CHECK,
    &drape_state_missing::CHECK,
    &equipment_unlisted::CHECK,
    &internal_technique_unauthorised::CHECK,
    &population_unstated::CHECK,
    &position_blocked_by_condition::CHECK,
    &position_missing::CHECK,
    &region_not_treated::CHECK,
    &scope_exceeded::CHECK,
    &sensitive_region_consent_missing::CHECK,
    &support_missing::CHECK,
    &target_not_reachable::CHECK,
    &turns_above_minimum::CHECK,
];

/// How a step is named in messages.
fn named(step: &Step) -> String {
    format!("step {}", step.number.value)
}

/// Where the target of a step stands, or its action if it has none.
fn target_at(step: &Step) -> Span {
    step.target.span.unwrap_or(step.action.span)
}

/// From the first to the last region as written.
fn written_at(places: &Places) -> Option<Span> {
    let (first, last) = (places.written.first()?, places.written.last()?);
    Some(Span { end: last.span.end, ..first.span })
}

/// Regions with a tag, each once.
fn tagged(places: &[Place], tag: Tag) -> BTreeSet<RegionId> {
    places.iter().map(|p| p.region).filter(|r| regions().get(*r).tags.contains(&tag)).collect()
}

/// Plain names of regions.
fn names(ids: &BTreeSet<RegionId>) -> String {
    ids.iter().map(|r| regions().get(*r).name.as_str()).collect::<Vec<_>>().join(", ")
}

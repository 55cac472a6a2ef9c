//! Checks of the area "thermal": heat and cold.

use super::dose::item::{Item, inside, items};
use super::{Case, Check};
use crate::compute::thermal::apparatus::{self, Way};
use crate::model::docs::{Apparatus, HouseThermal};
use crate::model::interval::Interval;
use crate::model::quantity::{show, unit_named};
use crate::model::region::Place;
use crate::model::unit::Dim;
use crate::source::Span;
use std::collections::BTreeSet;

mod cold_dwell_exceeded;
mod cold_floor_crossed;
mod cold_pack_time_exceeded;
mod cold_stream_speed_missing;
mod coolant_safety_missing;
mod cover_layers_missing;
mod heat_margin_too_small;
mod heat_source_temperature_missing;
mod lying_on_heat;
mod opposed_thermal_no_gap;
mod rewarm_not_respected;
mod sensation_test_missing;
mod skin_check_interval_too_long;
mod thermal_thin_skin;
mod time_above_43;
mod topical_before_thermal;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[
    &cold_dwell_exceeded::CHECK,
    &cold_floor_crossed::CHECK,
    &cold_pack_time_exceeded::CHECK,
    &cold_stream_speed_missing::CHECK,
    &coolant_safety_missing::CHECK,
    &cover_layers_missing::CHECK,
    &heat_margin_too_small::CHECK,
    &heat_source_temperature_missing::CHECK,
    &lying_on_heat::CHECK,
    &opposed_thermal_no_gap::CHECK,
    &rewarm_not_respected::CHECK,
    &sensation_test_missing::CHECK,
    &skin_check_interval_too_long::CHECK,
    &thermal_thin_skin::CHECK,
    &time_above_43::CHECK,
    &topical_before_thermal::CHECK,
];

/// A step or home item with heat or cold.
struct Warmed<'a> {
    item: Item<'a>,
    way: Way,
    apparatus: Option<&'a Apparatus>,
}

impl<'a> Warmed<'a> {
    /// The longest that the heat or cold lasts, s: as the technique says that it takes, else the time of
    /// the dose; `None` if neither is known or has an end.
    fn lasts(&self) -> Option<f64> {
        let time = || self.item.dose.amount("time").filter(|q| q.dim() == Dim::Time).map(|q| q.base().hi);
        self.item.facts.duration.map(|d| d.hi).or_else(time).filter(|s| s.is_finite())
    }

    fn house(&self) -> &'a HouseThermal {
        &self.item.pack.thermal
    }
}

/// All steps and home items with heat or cold.
fn warmed<'a>(case: &Case<'a>) -> Vec<Warmed<'a>> {
    let one = |item: Item<'a>| {
        let (technique, dose) = (item.technique, item.dose);
        Some(Warmed { way: apparatus::way(technique, dose)?, apparatus: apparatus::of(technique, dose), item })
    };
    items(case).into_iter().filter_map(one).collect()
}

/// Places at which something was reported: one fault of a technique is told once, however many steps
/// use it.
#[derive(Default)]
struct Once(BTreeSet<Span>);

impl Once {
    fn first(&mut self, at: Span) -> bool {
        self.0.insert(at)
    }
}

/// Where it stands that no source is known: the agent of the dose, or the technique without any.
fn unknown_at(item: &Item<'_>) -> Span {
    if item.technique.thermal.is_empty() { item.technique.name.span } else { item.entry_at(apparatus::AGENT) }
}

/// Seconds to a hundredth, for the short times of moving cold.
fn seconds(time: Interval) -> String {
    let round = |x: f64| (x * 100.0).round() / 100.0;
    show(Interval::new(round(time.lo), round(time.hi)), unit_named("s"))
}

/// Plain names of places.
fn names(places: &[Place]) -> String {
    places.iter().map(|p| inside(&p.shown())).collect::<Vec<_>>().join(" and ")
}

//! The caution matrix: condition by stressor by region, applied to each step.
//!
//! No protocol lists its cautions; they are derived here for every step, so none can be forgotten.
//! Where several rows of a condition hold at a place, the strongest wins.

use super::steps::StepFacts;
use crate::model::docs::{Condition, Position, Rule};
use crate::model::interval::exceeds;
use crate::model::region::{Place, any_meets};
use crate::model::vocabulary::{Strength, Stressor};
use crate::model::{Catalog, Idx};

/// A condition that matters for a protocol.
#[derive(Clone, Debug)]
pub struct Caution {
    /// The condition.
    pub condition: Idx<Condition>,
    /// Strongest strength over all steps.
    pub strength: Strength,
    /// Which steps it touches and how.
    pub hits: Vec<Hit>,
}

/// A step that a condition touches.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Hit {
    /// Row of the step; home items follow the steps.
    pub step: usize,
    /// True if `step` counts home items.
    pub home: bool,
    /// Stressor.
    pub stressor: Stressor,
    /// Strength.
    pub strength: Strength,
    /// Row of the condition's rules.
    pub rule: usize,
}

/// The strongest row of a condition for a stressor at these places; of two equally strong rows the
/// one that names the place.
pub fn rule_at<'a>(condition: &'a Condition, stressor: Stressor, places: &[Place]) -> Option<(usize, &'a Rule)> {
    condition
        .rules
        .iter()
        .enumerate()
        .filter(|(_, r)| r.stressor == stressor && (r.regions.all.is_empty() || any_meets(&r.regions.all, places)))
        .min_by_key(|(i, r)| (r.strength, r.regions.all.is_empty(), *i))
}

impl Rule {
    /// True if the row names no region.
    pub fn is_everywhere(&self) -> bool {
        self.regions.written.is_empty()
    }

    /// True if the two rows can hold at one place.
    pub fn overlaps(&self, other: &Rule) -> bool {
        self.stressor == other.stressor
            && (self.is_everywhere() || other.is_everywhere() || any_meets(&self.regions.all, &other.regions.all))
    }

    /// True if the row lets through what `other` stops: a weaker word, or a limit with a higher number.
    pub fn is_looser_than(&self, other: &Rule) -> bool {
        if self.strength != other.strength {
            return self.strength > other.strength;
        }
        self.max.entries.iter().any(|entry| {
            let limits = self.max.amount(&entry.name.value).zip(other.max.amount(&entry.name.value));
            limits.is_some_and(|(a, b)| a.dim() == b.dim() && exceeds(a.base().hi, b.base().hi))
        })
    }
}

impl Condition {
    /// True if the row bars its stressor for whoever has the condition, not only at a place that is
    /// affected in one person and whole in the next.
    pub fn bars(&self, row: &Rule) -> bool {
        let local = self.scope.as_ref().is_some_and(|s| *s.value == *"local");
        match row.strength {
            Strength::Never => true,
            Strength::NotHere => !row.is_everywhere() || !local,
            _ => false,
        }
    }

    /// The row that bars `stressor` wherever `within` holds; everywhere if there is no such row.
    pub fn barred(&self, stressor: Stressor, within: Option<&Rule>) -> Option<&Rule> {
        self.rules
            .iter()
            .filter(|r| r.stressor == stressor && r.strength.blocks())
            .find(|r| r.is_everywhere() || within.is_some_and(|w| !w.is_everywhere() && any_meets(&w.regions.all, &r.regions.all)))
    }
}

/// Places on which a position loads the body.
pub fn position_places(position: &Position) -> &[Place] {
    &position.bears_weight.all
}

pub(super) fn of_protocol(catalog: &Catalog, steps: &[StepFacts], home: &[StepFacts]) -> Vec<Caution> {
    let mut cautions = Vec::new();
    for (idx, condition) in catalog.conditions.iter() {
        let mut hits = Vec::new();
        for (list, at_home) in [(steps, false), (home, true)] {
            for (i, step) in list.iter().enumerate() {
                step_hits(catalog, condition, step, i, at_home, &mut hits);
            }
        }
        if let Some(strength) = hits.iter().map(|h| h.strength).min() {
            cautions.push(Caution { condition: idx, strength, hits });
        }
    }
    cautions.sort_by_key(|c| (c.strength, c.condition));
    cautions
}

fn step_hits(catalog: &Catalog, condition: &Condition, step: &StepFacts, i: usize, home: bool, hits: &mut Vec<Hit>) {
    let mut hit = |stressor: Stressor, places: &[Place]| {
        if let Some((rule, row)) = rule_at(condition, stressor, places)
            && row.strength != Strength::None
        {
            hits.push(Hit { step: i, home, stressor, strength: row.strength, rule });
        }
    };
    for load in &step.loads {
        hit(load.stressor, &step.places);
    }
    if step.is_treatment()
        && let Some(position) = step.position
    {
        hit(Stressor::Position, position_places(&catalog.positions[position]));
    }
}

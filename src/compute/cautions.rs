//! The caution matrix: condition by stressor by region, applied to each step.
//!
//! No protocol lists its cautions; they are derived here for every step, so none can be forgotten.
//! Where several rows of a condition hold at a place, the strongest wins.

use super::steps::StepFacts;
use crate::model::docs::{Condition, DoseEntry, DoseValue, Parameter, Position, Rule, Technique};
use crate::model::interval::exceeds;
use crate::model::region::{Place, any_meets};
use crate::model::vocabulary::{Strength, Stressor};
use crate::model::{Catalog, Idx};

/// A condition that matters for a protocol.
#[derive(Clone, Debug)]
pub struct Caution {
    /// The condition.
    pub condition: Idx<Condition>,
    /// Strongest strength over all steps; `None` where it matters only together with another condition.
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

/// The strongest of some rows for a stressor at these places; of two equally strong rows the
/// one that names the place.
pub fn rule_at<'a>(rules: &'a [Rule], stressor: Stressor, places: &[Place]) -> Option<(usize, &'a Rule)> {
    rules
        .iter()
        .enumerate()
        .filter(|(_, r)| r.stressor == stressor && (r.regions.all.is_empty() || any_meets(&r.regions.all, places)))
        .min_by_key(|(i, r)| (r.strength, r.regions.all.is_empty(), *i))
}

/// What the numbers of a limit come to at a technique.
#[derive(Debug)]
pub struct Bound<'a> {
    /// Those to be told there, in the order in which they are written.
    pub told: Vec<&'a DoseEntry>,
    /// Those among them that hold nothing down.
    pub loose: Vec<&'a DoseEntry>,
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

    /// What its numbers come to at a technique.
    ///
    /// A number for a parameter that the technique lacks is not meant for it, unless what the technique loads with
    /// this stressor has a parameter of that kind for which the row gives none: then nobody can tell. Where nothing of
    /// that kind loads, any other of its kind will do. Where no number is meant and nothing else is to be done, the row
    /// says nothing, and all of them are loose. What is a word is always told, and how long somebody lies in a position
    /// is no parameter of what is done there.
    pub fn at(&self, technique: &Technique) -> Bound<'_> {
        let word = |e: &DoseEntry| matches!(e.value, DoseValue::Word(_));
        let has = |e: &DoseEntry| self.stressor == Stressor::Position || word(e) || technique.parameter(&e.name.value).is_some();
        let named = |p: &&Parameter| self.max.entry(&p.name.value).is_some();
        let open = |e: &DoseEntry| {
            let DoseValue::Amount(own) = &e.value else { return false };
            let same = |p: &&Parameter| p.allowed.as_ref().is_some_and(|a| a.value.dim() == own.dim());
            let loading: Vec<&Parameter> = technique.loading(self.stressor).filter(same).collect();
            if loading.is_empty() {
                let mut all = technique.parameters.iter().filter(same).peekable();
                return all.peek().is_some() && !all.any(|p| named(&p));
            }
            !loading.iter().all(named)
        };
        let entries = || self.max.entries.iter();
        let told: Vec<&DoseEntry> = entries().filter(|e| has(e) || open(e)).collect();
        if told.is_empty() && self.instead.is_none() {
            return Bound { told: entries().collect(), loose: entries().collect() };
        }
        Bound { loose: told.iter().copied().filter(|e| !has(e)).collect(), told }
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
}

/// The row among some that bars `stressor` wherever `within` holds; everywhere if there is no such row.
pub fn barred<'a>(rules: &'a [Rule], stressor: Stressor, within: Option<&Rule>) -> Option<&'a Rule> {
    rules
        .iter()
        .filter(|r| r.stressor == stressor && r.strength.blocks())
        .find(|r| r.is_everywhere() || within.is_some_and(|w| !w.is_everywhere() && any_meets(&w.regions.all, &r.regions.all)))
}

/// Places on which a position loads the body.
pub fn position_places(position: &Position) -> &[Place] {
    &position.bears_weight.all
}

pub(super) fn of_protocol(catalog: &Catalog, steps: &[StepFacts], home: &[StepFacts]) -> Vec<Caution> {
    let mut cautions = Vec::new();
    for (idx, condition) in catalog.conditions.iter() {
        let hits = hits(catalog, &condition.rules, steps, home);
        if let Some(strength) = hits.iter().map(|h| h.strength).min() {
            cautions.push(Caution { condition: idx, strength, hits });
        }
    }
    cautions.sort_by_key(|c| (c.strength, c.condition));
    cautions
}

/// Every step and home item that some rows touch.
pub(super) fn hits(catalog: &Catalog, rules: &[Rule], steps: &[StepFacts], home: &[StepFacts]) -> Vec<Hit> {
    let mut hits = Vec::new();
    for (list, at_home) in [(steps, false), (home, true)] {
        for (i, step) in list.iter().enumerate() {
            step_hits(catalog, rules, step, i, at_home, &mut hits);
        }
    }
    hits
}

fn step_hits(catalog: &Catalog, rules: &[Rule], step: &StepFacts, i: usize, home: bool, hits: &mut Vec<Hit>) {
    let mut hit = |stressor: Stressor, places: &[Place]| {
        if let Some((rule, row)) = rule_at(rules, stressor, places)
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

#[cfg(test)]
mod tests {
    use super::super::testing;
    use super::*;
    use crate::load::decode::Document;
    use crate::model::region::parse_places;
    use crate::model::{Kind, Table};

    fn condition(scope: &str, rules: &str) -> Condition {
        let text = format!("id: x\nname: X\nscope: {scope}\nrules:\n  {rules}\nreason: R.\n");
        match testing::document(Kind::Condition, &text) {
            Document::Condition(condition) => *condition,
            _ => unreachable!("a condition was decoded"),
        }
    }

    fn strength(condition: &Condition, stressor: Stressor, at: &str) -> Option<Strength> {
        rule_at(&condition.rules, stressor, &parse_places(at).unwrap()).map(|(_, r)| r.strength)
    }

    #[test]
    fn the_strongest_row_of_a_place_wins_wherever_it_stands() {
        let rows = "heat: [{strength: watch}, {strength: limit, regions: [leg]}, {strength: not here, regions: [calf-inner]}]";
        let c = condition("general", rows);
        assert_eq!(strength(&c, Stressor::Heat, "calf-inner"), Some(Strength::NotHere));
        assert_eq!(strength(&c, Stressor::Heat, "calf-outer"), Some(Strength::Limit));
        assert_eq!(strength(&c, Stressor::Heat, "leg"), Some(Strength::NotHere));
        assert_eq!(strength(&c, Stressor::Heat, "heel"), Some(Strength::Watch));
        assert_eq!(strength(&c, Stressor::Cold, "heel"), None);
        let general = condition("general", "heat: [{strength: watch, regions: [heel]}, {strength: never}]");
        assert_eq!(strength(&general, Stressor::Heat, "heel"), Some(Strength::Never));
    }

    #[test]
    fn of_equal_rows_the_one_that_names_the_place_wins() {
        let c =
            condition("general", "heat: [{strength: limit, max: {time: 10 min}}, {strength: limit, regions: [heel], max: {time: 5 min}}]");
        assert_eq!(rule_at(&c.rules, Stressor::Heat, &parse_places("heel").unwrap()).map(|(i, _)| i), Some(1));
        assert_eq!(rule_at(&c.rules, Stressor::Heat, &parse_places("sole").unwrap()).map(|(i, _)| i), Some(0));
        assert!(!c.rules[1].is_looser_than(&c.rules[0]) && c.rules[0].is_looser_than(&c.rules[1]));
    }

    #[test]
    fn a_number_is_told_where_a_technique_has_its_parameter_and_loose_where_it_might_mean_another() {
        let push = "parameters: {push: {allowed: 5-10 s}, stretch: {allowed: 10-30 s}, pain: {allowed: 0-4/10}}";
        let loads =
            "exposes: [{stressor: contraction load, total: [push]}]\nparameters: {push: {allowed: 5-10 s}, rest: {allowed: 10-60 s}}";
        let lift = "parameters: {reps: {allowed: 5-15 reps}, pace: {allowed: 3-5 s}}";
        let cases = [
            (push, "max: {pain: 2/10}", "pain", ""),
            (push, "max: {pain: 2/10, hold: 15 s}", "pain hold", "hold"),
            (push, "max: {pain: 2/10, hold: 15 s, stretch: 15 s}", "pain stretch", ""),
            (push, "max: {pain: 2/10, reps: 3 reps}", "pain", ""),
            (loads, "max: {hold: 10 s, rest: 30 s}", "hold rest", "hold"),
            (loads, "max: {hold: 10 s, push: 5 s}", "push", ""),
            (lift, "max: {effort: 20 %}", "effort", "effort"),
            (lift, "max: {effort: light, reps: 5 reps}", "effort reps", ""),
            (lift, "max: {effort: 20 %, reps: 5 reps}", "reps", ""),
            (lift, "max: {effort: 20 %}, instead: y", "", ""),
        ];
        for (parameters, row, told, loose) in cases {
            let technique = format!("id: x\nname: X\naim: A.\nrole: treatment\n{parameters}\ntraining: T.\n");
            let Document::Technique(technique) = testing::document(Kind::Technique, &technique) else {
                unreachable!("a technique was decoded")
            };
            let c = condition("general", &format!("contraction load: [{{strength: limit, {row}}}]"));
            let bound = c.rules[0].at(&technique);
            let names = |list: &[&DoseEntry]| list.iter().map(|e| e.name.value.to_string()).collect::<Vec<_>>().join(" ");
            assert_eq!((names(&bound.told).as_str(), names(&bound.loose).as_str()), (told, loose), "{row}");
        }
    }

    #[test]
    fn a_row_for_the_other_side_leaves_the_treated_side_alone() {
        let c = condition("general", "cold: [{strength: never, regions: [calf-inner other, sacrum, heel left]}, {strength: watch}]");
        assert_eq!(strength(&c, Stressor::Cold, "calf-inner"), Some(Strength::Watch));
        assert_eq!(strength(&c, Stressor::Cold, "calf-inner other"), Some(Strength::Never));
        assert_eq!(strength(&c, Stressor::Cold, "calf-inner both"), Some(Strength::Never));
        assert_eq!(strength(&c, Stressor::Cold, "heel"), Some(Strength::Never), "the treated side may be the left one");
        assert_eq!(strength(&c, Stressor::Cold, "heel right"), Some(Strength::Watch));
        assert_eq!(strength(&c, Stressor::Cold, "sacrum"), Some(Strength::Never));
    }

    #[test]
    fn not_here_bars_a_person_only_where_here_is_known() {
        let local = condition("local", "heat: not here");
        let named = condition("local", "heat: [{strength: not here, regions: [heel]}]");
        let general = condition("general", "heat: not here");
        assert!(!local.bars(&local.rules[0]) && named.bars(&named.rules[0]) && general.bars(&general.rules[0]));
        assert!(barred(&local.rules, Stressor::Heat, None).is_some() && barred(&named.rules, Stressor::Heat, None).is_none());
        assert!(barred(&named.rules, Stressor::Heat, Some(&named.rules[0])).is_some());
    }

    #[test]
    fn a_caution_carries_its_strongest_strength_and_every_step_it_touches() {
        let mut catalog = testing::base();
        let rules = "heat: ask first\n  cold: [{strength: never, regions: [calf-outer]}, {strength: watch}]\n  contraction load: watch\n  pressure: no restriction";
        catalog.conditions = Table::new(vec![condition("general", rules)]);
        let facts = crate::compute::compute(&catalog, crate::compute::testing::TODAY);
        let [caution] = facts.protocols[0].cautions.as_slice() else { panic!("one condition, one caution") };
        assert_eq!(caution.strength, Strength::Never);
        let touched: Vec<_> = caution.hits.iter().map(|h| (h.home, h.step, h.stressor, h.strength)).collect();
        let wanted = [
            (false, 4, Stressor::Heat, Strength::AskFirst),
            (false, 6, Stressor::Cold, Strength::Never),
            (false, 7, Stressor::Contraction, Strength::Watch),
            (true, 0, Stressor::Contraction, Strength::Watch),
        ];
        assert_eq!(touched, wanted);
    }

    #[test]
    fn a_condition_that_restricts_nothing_is_no_caution() {
        let mut catalog = testing::base();
        catalog.conditions = Table::new(vec![condition("general", "heat: no restriction\n  squeeze: never")]);
        assert!(crate::compute::compute(&catalog, crate::compute::testing::TODAY).protocols[0].cautions.is_empty());
    }
}

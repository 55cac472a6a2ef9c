//! Steps that expose the same skin one after the other, over one or several protocols in a row.

use crate::checks::Case;
use crate::checks::dose::item::inside;
use crate::compute::steps::StepFacts;
use crate::compute::timeline::{Timeline, gap_between};
use crate::model::Idx;
use crate::model::docs::{Comes, OrderRule, Protocol, Step, Technique, Towards};
use crate::model::region::Place;

/// A step on the way: which protocol of the row, which step of it.
#[derive(Copy, Clone)]
pub struct At {
    /// Row of the protocol among those that follow each other.
    pub visit: usize,
    /// Row of the step.
    pub row: usize,
}

/// A step and the exposure before it that a rule keeps apart from it.
pub struct Pair<'a> {
    /// The earlier step.
    pub earlier: (At, &'a Step),
    /// The later step.
    pub later: (At, &'a Step),
    /// The shared place, for messages.
    pub place: String,
    /// Least time between the two, in seconds.
    pub least: f64,
}

/// Protocols in the order in which they are given.
pub struct Row<'a> {
    steps: Vec<(At, &'a Step, &'a StepFacts)>,
    timelines: Vec<&'a Timeline>,
}

impl<'a> Row<'a> {
    /// The steps of these protocols, one after the other.
    pub fn new(case: &Case<'a>, visits: &[Idx<Protocol>]) -> Self {
        let mut steps = Vec::new();
        for (visit, protocol) in visits.iter().enumerate() {
            let facts = case.facts.of(*protocol);
            let both = case.catalog.protocols[*protocol].steps.iter().zip(&facts.steps).enumerate();
            steps.extend(both.map(|(row, (step, facts))| (At { visit, row }, step, facts)));
        }
        Self { steps, timelines: visits.iter().map(|p| &case.facts.of(*p).timeline).collect() }
    }

    /// Techniques of the row, each once.
    pub fn techniques(&self, case: &Case<'a>) -> Vec<(Idx<Technique>, &'a Technique)> {
        let mut used: Vec<Idx<Technique>> = self.steps.iter().filter_map(|(_, _, f)| f.technique).collect();
        used.sort_unstable();
        used.dedup();
        used.into_iter().map(|t| (t, &case.catalog.techniques[t])).collect()
    }

    /// Each exposure with the nearest one before it that the rule of this technique names.
    pub fn pairs(&self, case: &Case<'_>, own: Idx<Technique>, rule: &OrderRule) -> Vec<Pair<'a>> {
        let mut out = Vec::new();
        for (i, later) in self.steps.iter().enumerate() {
            let mut before = self.steps.iter().take(i).rev();
            let hit = before.find_map(|earlier| Some((earlier, shared(case, own, rule, earlier.2, later.2)?)));
            let Some((earlier, place)) = hit else { continue };
            let (a, b) = ((earlier.0.visit, earlier.0.row), (later.0.visit, later.0.row));
            if let Some(gap) = gap_between(&self.timelines, a, b) {
                out.push(Pair { earlier: (earlier.0, earlier.1), later: (later.0, later.1), place, least: gap.lo });
            }
        }
        out
    }
}

/// True for a rule that keeps a technique apart from itself or from its own stressor.
pub fn is_rest(own: Idx<Technique>, technique: &Technique, rule: &OrderRule) -> bool {
    rule.comes == Comes::Apart
        && match &rule.towards {
            Some(Towards::Technique(other)) => other.to == Some(own),
            Some(Towards::Stressor(stressor)) => technique.has(*stressor),
            None => false,
        }
}

/// Where the rule binds two steps; `None` if it does not.
fn shared(case: &Case<'_>, own: Idx<Technique>, rule: &OrderRule, a: &StepFacts, b: &StepFacts) -> Option<String> {
    let (first, second) = (a.technique?, b.technique?);
    let other = if first == own {
        second
    } else if second == own {
        first
    } else {
        return None;
    };
    let named = match &rule.towards {
        Some(Towards::Stressor(stressor)) => case.catalog.techniques[other].has(*stressor),
        Some(Towards::Technique(technique)) => technique.to == Some(other),
        None => false,
    };
    let place: Option<&Place> = a.places.iter().find(|x| b.places.iter().any(|y| x.meets(*y)));
    match place {
        _ if !named => None,
        Some(place) => Some(inside(&place.shown())),
        None => rule.anywhere.then(|| "any region".into()),
    }
}

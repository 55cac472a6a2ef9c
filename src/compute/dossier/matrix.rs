//! Condition by stressor: what each condition says, and where it says nothing.

use crate::compute::Facts;
use crate::model::docs::Condition;
use crate::model::vocabulary::{Strength, Stressor};
use crate::model::{Catalog, Idx};

/// A cell of the matrix.
#[derive(Clone, Debug, PartialEq)]
pub struct MatrixCell {
    /// The stressor.
    pub stressor: Stressor,
    /// Every strength that a row gives, strongest first, with true where it holds in some regions alone. Empty
    /// where the condition is silent.
    pub says: Vec<(Strength, bool)>,
    /// Protocols in which a caution follows from it.
    pub protocols: usize,
    /// Protocols that expose people to the stressor.
    pub exposed: usize,
}

/// The row of a condition.
#[derive(Clone, Debug)]
pub struct MatrixRow {
    /// The condition.
    pub condition: Idx<Condition>,
    /// One cell for each stressor, in their order.
    pub cells: Vec<MatrixCell>,
}

/// The whole matrix.
pub fn matrix(catalog: &Catalog, facts: &Facts) -> Vec<MatrixRow> {
    let row = |(idx, condition): (Idx<Condition>, &Condition)| MatrixRow {
        condition: idx,
        cells: Stressor::ALL.iter().map(|s| cell(facts, idx, condition, *s)).collect(),
    };
    catalog.conditions.iter().map(row).collect()
}

fn cell(facts: &Facts, idx: Idx<Condition>, condition: &Condition, stressor: Stressor) -> MatrixCell {
    let mut says: Vec<(Strength, bool)> =
        condition.rules.iter().filter(|r| r.stressor == stressor).map(|r| (r.strength, !r.is_everywhere())).collect();
    says.sort_unstable();
    says.dedup();
    let hit =
        |p: &&crate::compute::ProtocolFacts| p.cautions.iter().any(|c| c.condition == idx && c.hits.iter().any(|h| h.stressor == stressor));
    let loads = |p: &&crate::compute::ProtocolFacts| {
        p.steps.iter().chain(&p.home).any(|s| s.load(stressor).is_some() || (stressor == Stressor::Position && s.is_treatment()))
    };
    MatrixCell {
        stressor,
        says,
        protocols: facts.protocols.iter().filter(hit).count(),
        exposed: facts.protocols.iter().filter(loads).count(),
    }
}

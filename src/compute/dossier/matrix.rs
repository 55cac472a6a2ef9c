//! Condition by stressor: what each condition says, and where it says nothing.

use crate::compute::cautions::Hit;
use crate::compute::{Facts, ProtocolFacts};
use crate::model::docs::{Condition, Rule};
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

/// The row of a condition, or of what it does together with others.
#[derive(Clone, Debug)]
pub struct MatrixRow {
    /// The condition.
    pub condition: Idx<Condition>,
    /// The others of a combination; empty for the condition alone.
    pub with: Vec<Idx<Condition>>,
    /// One cell for each stressor, in their order.
    pub cells: Vec<MatrixCell>,
}

/// The whole matrix: each condition, then what it does together with others.
pub fn matrix(catalog: &Catalog, facts: &Facts) -> Vec<MatrixRow> {
    let mut out = Vec::new();
    for (idx, condition) in catalog.conditions.iter() {
        let alone = |p: &ProtocolFacts, s| p.cautions.iter().any(|c| c.condition == idx && hit(&c.hits, s));
        out.push(MatrixRow { condition: idx, with: Vec::new(), cells: cells(facts, &condition.rules, alone) });
        for (row, together) in condition.together.iter().enumerate() {
            let joint = |p: &ProtocolFacts, s| p.combinations.iter().any(|c| (c.condition, c.row) == (idx, row) && hit(&c.hits, s));
            out.push(MatrixRow { condition: idx, with: together.others(idx), cells: cells(facts, &together.rules, joint) });
        }
    }
    out
}

fn hit(hits: &[Hit], stressor: Stressor) -> bool {
    hits.iter().any(|h| h.stressor == stressor)
}

fn cells(facts: &Facts, rules: &[Rule], hit: impl Fn(&ProtocolFacts, Stressor) -> bool) -> Vec<MatrixCell> {
    let cell = |stressor: &Stressor| {
        let own = rules.iter().filter(|r| r.stressor == *stressor);
        let mut says: Vec<(Strength, bool)> = own.map(|r| (r.strength, !r.is_everywhere())).collect();
        says.sort_unstable();
        says.dedup();
        let loads = |p: &&ProtocolFacts| {
            p.steps.iter().chain(&p.home).any(|s| s.load(*stressor).is_some() || (*stressor == Stressor::Position && s.is_treatment()))
        };
        MatrixCell {
            stressor: *stressor,
            says,
            protocols: facts.protocols.iter().filter(|p| hit(p, *stressor)).count(),
            exposed: facts.protocols.iter().filter(loads).count(),
        }
    };
    Stressor::ALL.iter().map(cell).collect()
}

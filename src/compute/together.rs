//! What two conditions do together, applied to each step like the rows of one.
//!
//! These rows come on top of those of each condition and change none of them. A pair holds for whoever has both,
//! whichever of the two it is written at. Where a protocol excludes a condition, nobody has it there, so a pair
//! with it does not arise.

use super::cautions::{self, Caution, Hit};
use super::steps::StepFacts;
use crate::model::docs::{Condition, Protocol, Rule, Together};
use crate::model::vocabulary::Strength;
use crate::model::{Catalog, Idx};

/// A combination of conditions that matters for a protocol.
#[derive(Clone, Debug)]
pub struct Combination {
    /// The condition at which it is written.
    pub condition: Idx<Condition>,
    /// Row of the condition's `together`.
    pub row: usize,
    /// The others that the protocol takes: one of them is enough.
    pub others: Vec<Idx<Condition>>,
    /// Strongest strength over all steps.
    pub strength: Strength,
    /// Which steps it touches and how; `rule` counts its own rows.
    pub hits: Vec<Hit>,
}

impl Combination {
    /// What is written.
    pub fn written<'a>(&self, catalog: &'a Catalog) -> Option<&'a Together> {
        catalog.conditions[self.condition].together.get(self.row)
    }

    /// Its rows.
    pub fn rules<'a>(&self, catalog: &'a Catalog) -> &'a [Rule] {
        self.written(catalog).map_or(&[], |t| &t.rules)
    }

    /// Its rows with the condition that they are written at.
    pub fn rows<'a>(&self, catalog: &'a Catalog) -> (&'a Condition, &'a [Rule]) {
        (&catalog.conditions[self.condition], self.rules(catalog))
    }

    /// The conditions with which `condition` makes the pair, whichever of the two it is written at; empty if it has
    /// no part in it.
    pub fn partners(&self, condition: Idx<Condition>) -> &[Idx<Condition>] {
        if self.condition == condition {
            &self.others
        } else if self.others.contains(&condition) {
            std::slice::from_ref(&self.condition)
        } else {
            &[]
        }
    }
}

impl Together {
    /// The others, each once, without the condition itself.
    pub fn others(&self, own: Idx<Condition>) -> Vec<Idx<Condition>> {
        let mut out: Vec<Idx<Condition>> = self.with.iter().filter_map(|c| c.to).filter(|c| *c != own).collect();
        out.sort_unstable();
        out.dedup();
        out
    }
}

pub(super) fn of_protocol(catalog: &Catalog, protocol: &Protocol, steps: &[StepFacts], home: &[StepFacts]) -> Vec<Combination> {
    let taken = |c: &Idx<Condition>| !protocol.population.excludes.iter().any(|e| e.to == Some(*c));
    let mut out = Vec::new();
    for (idx, condition) in catalog.conditions.iter().filter(|(idx, _)| taken(idx)) {
        for (row, together) in condition.together.iter().enumerate() {
            let others: Vec<Idx<Condition>> = together.others(idx).into_iter().filter(taken).collect();
            let hits = if others.is_empty() { Vec::new() } else { cautions::hits(catalog, &together.rules, steps, home) };
            if let Some(strength) = hits.iter().map(|h| h.strength).min() {
                out.push(Combination { condition: idx, row, others, strength, hits });
            }
        }
    }
    out.sort_by_key(|c| (c.strength, c.condition, c.row));
    out
}

/// Adds the conditions that change nothing alone: their question is asked because of the pair.
pub(super) fn asked(cautions: &mut Vec<Caution>, combinations: &[Combination]) {
    let mut all: Vec<Idx<Condition>> = combinations.iter().flat_map(|c| c.others.iter().copied().chain([c.condition])).collect();
    all.sort_unstable();
    all.dedup();
    all.retain(|c| !cautions.iter().any(|known| known.condition == *c));
    cautions.extend(all.into_iter().map(|condition| Caution { condition, strength: Strength::None, hits: Vec::new() }));
}

#[cfg(test)]
mod tests {
    use super::super::testing;
    use super::*;
    use crate::model::Kind;
    use crate::model::vocabulary::Stressor;

    /// The base pack with what two of its conditions do together, and with these excluded.
    fn base(together: &str, excludes: &[&str]) -> Catalog {
        let mut catalog = testing::base();
        let find = |catalog: &Catalog, id: &str| catalog.conditions.iter().find(|(_, c)| *c.head.id.value == *id).map(|(i, _)| i).unwrap();
        let text = format!("id: x\nname: X\nrules:\n  heat: watch\ntogether:\n{together}\nreason: R.\n");
        let crate::load::decode::Document::Condition(mut written) = testing::document(Kind::Condition, &text) else {
            unreachable!("a condition was decoded")
        };
        for reference in written.together.iter_mut().flat_map(|t| &mut t.with) {
            reference.to = Some(find(&catalog, &reference.written.value));
        }
        let own = find(&catalog, "numb-skin");
        let excluded: Vec<Idx<Condition>> = excludes.iter().map(|id| find(&catalog, id)).collect();
        let mut rows: Vec<Condition> = catalog.conditions.rows().to_vec();
        rows[own.row()].together = written.together;
        catalog.conditions = crate::model::Table::new(rows);
        let mut protocols = catalog.protocols.rows().to_vec();
        protocols[0].population.excludes = excluded
            .into_iter()
            .map(|to| {
                let mut reference = crate::model::Ref::unlinked(catalog.conditions[to].head.id.clone());
                reference.to = Some(to);
                reference
            })
            .collect();
        catalog.protocols = crate::model::Table::new(protocols);
        catalog
    }

    const PAIR: &str = "  - {with: [late-pregnancy], rules: {heat: never, cold: [{strength: watch, regions: [calf-outer]}]}, reason: R.}";

    #[test]
    fn a_pair_touches_steps_like_the_rows_of_one_condition() {
        let catalog = base(PAIR, &[]);
        let facts = crate::compute::compute(&catalog, testing::TODAY);
        let [pair] = facts.protocols[0].combinations.as_slice() else { panic!("{:?}", facts.protocols[0].combinations) };
        let touched: Vec<_> = pair.hits.iter().map(|h| (h.home, h.step, h.stressor, h.strength, h.rule)).collect();
        assert_eq!(touched, [(false, 4, Stressor::Heat, Strength::Never, 0), (false, 6, Stressor::Cold, Strength::Watch, 1)]);
        assert_eq!(pair.strength, Strength::Never);
        let name = |c: &Idx<Condition>| catalog.conditions[*c].head.id.value.to_string();
        assert_eq!(pair.partners(pair.condition).iter().map(name).collect::<Vec<_>>(), ["late-pregnancy"]);
        assert_eq!(pair.partners(pair.others[0]).iter().map(name).collect::<Vec<_>>(), ["numb-skin"]);
    }

    #[test]
    fn a_pair_with_an_excluded_condition_does_not_arise() {
        for (together, excludes, pairs) in [
            (PAIR, &["late-pregnancy"][..], 0),
            (PAIR, &["numb-skin"], 0),
            (PAIR, &[], 1),
            ("  - {with: [numb-skin], rules: {heat: never}, reason: R.}", &[], 0),
            ("  - {with: [late-pregnancy, late-pregnancy], rules: {shear: no restriction}, reason: R.}", &[], 0),
        ] {
            let facts = crate::compute::compute(&base(together, excludes), testing::TODAY);
            assert_eq!(facts.protocols[0].combinations.len(), pairs, "{together} {excludes:?}");
        }
    }

    #[test]
    fn a_pair_leaves_the_rows_of_each_condition_alone() {
        let of = |catalog: &Catalog| {
            let facts = crate::compute::compute(catalog, testing::TODAY);
            facts.protocols[0].cautions.iter().map(|c| (c.condition, c.strength, c.hits.clone())).collect::<Vec<_>>()
        };
        assert_eq!(of(&base(PAIR, &[])), of(&testing::base()));
    }

    #[test]
    fn a_condition_that_changes_nothing_alone_is_asked_because_of_the_pair() {
        let mut catalog = base(PAIR, &[]);
        let mut rows = catalog.conditions.rows().to_vec();
        rows.iter_mut().for_each(|c| c.rules.clear());
        catalog.conditions = crate::model::Table::new(rows);
        let facts = crate::compute::compute(&catalog, testing::TODAY);
        let asked: Vec<_> = facts.protocols[0].cautions.iter().map(|c| (c.strength, c.hits.len())).collect();
        assert_eq!(asked, [(Strength::None, 0), (Strength::None, 0)]);
    }
}

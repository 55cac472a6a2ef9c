//! What order rules say of the steps of one protocol: which step must have come before another, and which
//! two must have time between them. Whoever leaves a step out has to know both.

use super::steps::StepFacts;
use crate::model::Catalog;
use crate::model::docs::{Comes, OrderRule, Towards};
use crate::model::region::any_meets;

/// A step that may only come after another.
#[derive(Debug)]
pub struct Need<'a> {
    /// Row of the step.
    pub step: usize,
    /// Rows of the earlier steps; one of them is enough.
    pub any_of: Vec<usize>,
    /// The rule.
    pub rule: &'a OrderRule,
}

/// Two steps that need time between them, with others in between that help to fill it.
#[derive(Debug)]
pub struct Apart<'a> {
    /// Row of the first step.
    pub earlier: usize,
    /// Row of the second step.
    pub later: usize,
    /// The rule; it has a gap.
    pub rule: &'a OrderRule,
}

/// True if `rule` of the step `act` speaks of `other`. `whole` is true if one of the two concerns the whole person.
pub fn concerns(catalog: &Catalog, rule: &OrderRule, act: &StepFacts, other: &StepFacts, whole: bool) -> bool {
    let Some(technique) = other.technique else { return false };
    let meant = match &rule.towards {
        Some(Towards::Technique(t)) => t.to == Some(technique),
        Some(Towards::Stressor(s)) => catalog.techniques[technique].has(*s),
        None => false,
    };
    // A technique cannot stand before or after itself.
    meant && act.technique != Some(technique) && (rule.anywhere || whole || any_meets(&act.places, &other.places))
}

fn speaks_of(catalog: &Catalog, rule: &OrderRule, act: &StepFacts, other: &StepFacts) -> bool {
    concerns(catalog, rule, act, other, act.places.is_empty() || other.places.is_empty())
}

fn rules<'a>(catalog: &'a Catalog, steps: &[StepFacts]) -> impl Iterator<Item = (usize, &'a OrderRule)> {
    steps
        .iter()
        .enumerate()
        .flat_map(move |(row, s)| s.technique.into_iter().flat_map(move |t| catalog.techniques[t].order.iter().map(move |r| (row, r))))
}

/// Steps that must have another before them.
pub fn needs<'a>(catalog: &'a Catalog, steps: &[StepFacts]) -> Vec<Need<'a>> {
    let earlier = |row: usize, rule: &OrderRule| -> Vec<usize> {
        let Some(act) = steps.get(row) else { return Vec::new() };
        steps.iter().take(row).enumerate().filter(|(_, o)| speaks_of(catalog, rule, act, o)).map(|(i, _)| i).collect()
    };
    let only_after = rules(catalog, steps).filter(|(_, r)| r.comes == Comes::OnlyAfter);
    only_after.map(|(step, rule)| Need { step, any_of: earlier(step, rule), rule }).filter(|n| !n.any_of.is_empty()).collect()
}

/// Pairs of steps that need time between them and have others in between; of several rules that with the longest gap.
pub fn apart<'a>(catalog: &'a Catalog, steps: &[StepFacts]) -> Vec<Apart<'a>> {
    let mut out: Vec<Apart<'a>> = Vec::new();
    for (row, rule) in rules(catalog, steps).filter(|(_, r)| r.comes == Comes::Apart && r.gap.is_some()) {
        let Some(act) = steps.get(row) else { continue };
        for (other, _) in steps.iter().enumerate().filter(|(_, o)| speaks_of(catalog, rule, act, o)) {
            let (earlier, later) = (row.min(other), row.max(other));
            if later < earlier + 2 {
                continue;
            }
            match out.iter_mut().find(|a| (a.earlier, a.later) == (earlier, later)) {
                Some(known) if gap(known.rule) < gap(rule) => known.rule = rule,
                Some(_) => {}
                None => out.push(Apart { earlier, later, rule }),
            }
        }
    }
    out.sort_by_key(|a| (a.later, a.earlier));
    out
}

fn gap(rule: &OrderRule) -> f64 {
    rule.gap.as_ref().map_or(0.0, |g| g.value.base().hi)
}

#[cfg(test)]
mod tests {
    use super::super::testing;
    use super::*;
    use crate::model::Table;
    use crate::model::vocabulary::Stressor;

    #[test]
    fn heat_and_cold_need_the_test_of_feeling_and_time_between_them() {
        let mut catalog = testing::base();
        let mut techniques = catalog.techniques.rows().to_vec();
        let cold = techniques.iter_mut().find(|t| &*t.head.id.value == "cold-sweep").unwrap();
        for rule in cold.order.iter_mut().filter(|r| r.comes == Comes::Apart) {
            rule.towards = Some(Towards::Stressor(Stressor::Heat));
        }
        catalog.techniques = Table::new(techniques);
        let facts = crate::compute::compute(&catalog, testing::TODAY);
        let steps = &facts.protocols[0].steps;
        let named = |row: usize| steps[row].technique.map(|t| &*catalog.techniques[t].head.id.value).unwrap_or_default();
        let needs = needs(&catalog, steps);
        let of = |id: &str| needs.iter().find(|n| named(n.step) == id).map(|n| n.any_of.iter().map(|r| named(*r)).collect::<Vec<_>>());
        assert_eq!(of("moist-heat"), Some(vec!["sensation-test"]));
        assert_eq!(of("sustained-pressure"), None);
        let pairs: Vec<_> = apart(&catalog, steps).iter().map(|a| (named(a.earlier), named(a.later))).collect();
        assert_eq!(pairs, [("moist-heat", "cold-sweep")]);
    }
}

//! What the order rules of techniques say of two steps, in one protocol or in two.

use super::order;
use super::steps::StepFacts;
use crate::model::docs::{Comes, OrderRule, Step, Technique};
use crate::model::{Catalog, Idx};

/// A step with what follows from it.
#[derive(Copy, Clone)]
pub struct Act<'a> {
    /// The step.
    pub step: &'a Step,
    /// What follows from it.
    pub facts: &'a StepFacts,
}

/// True if the target was written and came to nothing; that was reported.
pub fn targets_unread(act: Act<'_>) -> bool {
    act.facts.places.is_empty() && act.step.target.span.is_some()
}

/// True if `rule` of `act` speaks of `other`. A step without a target concerns the whole person.
pub fn concerns(catalog: &Catalog, rule: &OrderRule, act: Act<'_>, other: Act<'_>) -> bool {
    let untargeted = |a: Act<'_>| a.facts.places.is_empty() && !targets_unread(a);
    order::concerns(catalog, rule, act.facts, other.facts, untargeted(act) || untargeted(other))
}

/// A rule that forbids one step before another.
#[derive(Copy, Clone)]
pub struct Forbidden<'a> {
    /// The step whose technique has the rule.
    pub own: &'a Step,
    /// The other step.
    pub other: &'a Step,
    /// The rule.
    pub rule: &'a OrderRule,
    /// Its technique.
    pub technique: Idx<Technique>,
}

/// The rule that forbids `a` before `b`, if there is one.
pub fn forbids<'a>(catalog: &'a Catalog, a: Act<'a>, b: Act<'a>) -> Option<Forbidden<'a>> {
    let broken = |own: Act<'a>, other: Act<'a>, forbidden: Comes| {
        let technique = own.facts.technique?;
        let rule = catalog.techniques[technique].order.iter().find(|r| r.comes == forbidden && concerns(catalog, r, own, other))?;
        Some(Forbidden { own: own.step, other: other.step, rule, technique })
    };
    broken(a, b, Comes::After).or_else(|| broken(b, a, Comes::Before))
}

//! The re-test of a protocol: what is measured again, and how large a change must be to mean anything.

use crate::compute::measurement::ErrorFacts;
use crate::model::docs::{Meaningful, Measure, MeasureError, Protocol, Step};
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc, text};
use crate::plan::view::measure::{against, threshold};
use crate::plan::view::parts::{GroundView, Link, Pair};
use serde::Serialize;

/// A measure that is taken again.
#[derive(Debug, Serialize)]
pub struct RetestView {
    /// Measure.
    pub measure: Link,
    /// Steps.
    pub steps: String,
    /// True if it is measured before and after in one visit.
    pub immediate: bool,
    /// Smallest changes that are not error, with their populations.
    pub errors: Vec<Pair>,
    /// Smallest changes that matter, with their populations and whether error can give them.
    pub meaningful: Vec<Pair>,
    /// Changes that count as reached.
    pub goals: Vec<GoalView>,
    /// Why an error found in other people stands for these.
    pub borrowed: Option<String>,
}

/// A change that counts as reached.
#[derive(Debug, Serialize)]
pub struct GoalView {
    /// Change.
    pub change: String,
    /// Over what time.
    pub over: String,
    /// Ground.
    pub ground: GroundView,
}

/// Every measure of a protocol, once.
pub fn all(site: &Site<'_>, p: &Protocol) -> Vec<RetestView> {
    let mut measures: Vec<Idx<Measure>> = p.steps.iter().filter_map(|s| s.measure.as_ref()?.to).collect();
    measures.sort_unstable();
    measures.dedup();
    measures.into_iter().map(|idx| one(site, p, idx)).collect()
}

fn one(site: &Site<'_>, p: &Protocol, idx: Idx<Measure>) -> RetestView {
    let m = &site.catalog.measures[idx];
    let steps: Vec<&Step> = p.steps.iter().filter(|s| s.measure.as_ref().and_then(|x| x.to) == Some(idx)).collect();
    let uses: Vec<String> = steps.iter().map(|s| format!("{} in step {}", text(&s.when).unwrap_or_default(), s.number.value)).collect();
    let is = |when: &str| steps.iter().any(|s| s.when.as_ref().is_some_and(|w| &*w.value == when));
    let error = |e: &MeasureError| {
        let facts = ErrorFacts::of(e);
        Some(Pair { label: e.population.value.to_string(), text: threshold(facts.unit?, &facts.threshold?) })
    };
    let change = |c: &Meaningful| {
        let change = c.change.as_ref()?.value.distance();
        Some(Pair { label: format!("{}. {}", c.population.value, against(site, m, c)), text: change })
    };
    let goal = |s: &&Step| {
        let g = s.goal.as_ref()?;
        Some(GoalView { change: g.change.as_ref()?.value.distance(), over: g.over.value.to_string(), ground: site.ground(&g.ground) })
    };
    RetestView {
        measure: site.link(doc(Kind::Measure, idx)),
        steps: uses.join(", "),
        immediate: is("baseline") && is("re-test"),
        errors: m.errors.iter().filter_map(error).collect(),
        meaningful: m.meaningful.iter().filter_map(change).collect(),
        goals: steps.iter().filter_map(goal).collect(),
        borrowed: steps.iter().find_map(|s| text(&s.borrowed)),
    }
}

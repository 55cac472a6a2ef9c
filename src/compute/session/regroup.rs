//! The fewest turns of a single protocol, if its steps were put in another order that keeps its rules and its sense.
//!
//! Only steps between which the order says nothing may change places: the same technique at another place, two
//! baselines, two re-tests, a baseline and a test of feeling. All other steps keep their written order.

use super::Part;
use super::once::{apart, step};
use super::rules::tie;
use super::solve::{Act, Bond, Edge, Found, Problem, solve};
use crate::compute::ProtocolFacts;
use crate::compute::numb::At;
use crate::compute::precedence::{self, forbids};
use crate::compute::steps::StepFacts;
use crate::model::docs::{Protocol, Step};
use crate::model::interval::Interval;
use crate::model::vocabulary::{Role, Stressor};
use crate::model::{Catalog, Idx};

/// The order of a protocol's steps with the fewest turns, by row; `None` if it cannot be told.
pub fn fewest(catalog: &Catalog, idx: Idx<Protocol>, facts: &ProtocolFacts) -> Option<Found> {
    let parts = [Part { idx, doc: &catalog.protocols[idx], facts }];
    let steps: Vec<(At, &Step, &StepFacts)> =
        apart(&parts).into_iter().filter_map(|g| step(&parts, g.lead).map(|(s, f)| (g.lead, s, f))).collect();
    let mut edges = Vec::new();
    for (j, (_, later, g)) in steps.iter().enumerate() {
        for (i, (at, earlier, f)) in steps.iter().enumerate().take(j) {
            let acts = (precedence::Act { step: earlier, facts: f }, precedence::Act { step: later, facts: g });
            let ruled = forbids(catalog, acts.1, acts.0).is_some();
            if ruled || !exchangeable(catalog, (earlier, f), (later, g)) {
                edges.push(Edge { first: i, second: j, bond: Bond::Before, rule: 0 });
            }
            if j == i + 1 && tie(catalog, &parts, *at).is_some() {
                edges.push(Edge { first: i, second: j, bond: Bond::RightAfter, rule: 0 });
            }
        }
    }
    let act = |f: &StepFacts| Act { position: f.position.map(Idx::row), lasts: f.duration.unwrap_or(Interval::ZERO), ..Act::default() };
    let acts = steps.iter().map(|(_, _, f)| act(f)).collect();
    solve(&Problem { acts, edges, ..Problem::default() }, None).ok()
}

/// True if the order of two steps says nothing.
fn exchangeable(catalog: &Catalog, (earlier, f): (&Step, &StepFacts), (later, g): (&Step, &StepFacts)) -> bool {
    let (Some(one), Some(two)) = (f.technique, g.technique) else { return false };
    let role = |t: Idx<_>| -> Role { catalog.techniques[t].role };
    let when = |s: &Step| s.when.as_ref().map(|w| w.value.to_string());
    match (role(one), role(two)) {
        (Role::Treatment, Role::Treatment) => {
            let pressing = [Stressor::Pressure, Stressor::Squeeze].iter().any(|s| f.load(*s).is_some());
            one == two && pressing && (f.point, &f.places) != (g.point, &g.places)
        }
        (Role::Measurement, Role::Measurement) => when(earlier).is_some() && when(earlier) == when(later),
        // A gauge that presses comes after the test of feeling.
        (Role::Measurement, Role::SensationTest) => f.loads.is_empty() && when(earlier).as_deref() == Some("baseline"),
        (Role::SensationTest, Role::Measurement) => g.loads.is_empty() && when(later).as_deref() == Some("baseline"),
        _ => false,
    }
}

//! Appointments of the demo pack and of protocols made for a test, against the rules and against a bound of its own.

use super::once::step;
use super::solve::Bond;
use super::*;
use crate::compute::precedence::{self, forbids};
use crate::compute::testing::{TODAY, base};
use std::collections::BTreeMap;

fn demo() -> Catalog {
    let root = std::path::PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("packs/millrace-course");
    let mut loaded = crate::load::load(&[root]).expect("the demo pack can be read");
    crate::link::link(&mut loaded).0.expect("the demo pack has a pack file")
}

/// Fewest turns of protocols that only keep their own order and do together what is done once: no order that keeps
/// more rules can have fewer. Counted by hand, over how far each protocol has come.
fn bound(parts: &[Part<'_>], acts: &[Act]) -> usize {
    let rows = |part: usize| -> Vec<usize> {
        let own = |(i, a): (usize, &Act)| a.steps.members.iter().find(|m| m.part == part).map(|m| (m.step, i));
        let mut rows: Vec<(usize, usize)> = acts.iter().enumerate().filter_map(own).collect();
        rows.sort_unstable();
        rows.into_iter().map(|(_, i)| i).collect()
    };
    let lists: Vec<Vec<usize>> = (0..parts.len()).map(rows).collect();
    let mut best: BTreeMap<(Vec<usize>, Option<Idx<Position>>), usize> = BTreeMap::from([((vec![0; parts.len()], None), 0)]);
    for _ in 0..acts.len() {
        let mut next: BTreeMap<(Vec<usize>, Option<Idx<Position>>), usize> = BTreeMap::new();
        for ((at, position), turns) in best {
            for (i, act) in acts.iter().enumerate() {
                let ready = act.steps.members.iter().all(|m| lists[m.part].get(at[m.part]) == Some(&i));
                if !ready {
                    continue;
                }
                let mut at = at.clone();
                act.steps.members.iter().for_each(|m| at[m.part] += 1);
                let talk = act.position.filter(|_| needed(parts, act));
                let turned = usize::from(talk.is_some() && position.is_some() && talk != position);
                let entry = next.entry((at, talk.or(position))).or_insert(usize::MAX);
                *entry = (*entry).min(turns + turned);
            }
        }
        best = next;
    }
    best.into_values().min().expect("every act has its place")
}

/// False for talk that names no position of its own.
fn needed(parts: &[Part<'_>], act: &Act) -> bool {
    act.steps.members.iter().any(|m| {
        let (own, facts) = step(parts, *m).expect("is a step");
        own.position.is_some() || !facts.loads.is_empty() || own.measure.is_some() || !own.target.regions.all.is_empty()
    })
}

#[test]
fn sessions_of_the_demo_pack_keep_every_rule_with_the_fewest_turns() {
    let catalog = demo();
    let facts = crate::compute::compute(&catalog, TODAY);
    let mut seen = Vec::new();
    for (session, own) in catalog.sessions.rows().iter().zip(&facts.sessions) {
        let name = &session.head.id.value;
        let visit = &own.visit;
        let parts: Vec<Part<'_>> = visit.parts.iter().map(|p| Part { idx: *p, doc: &catalog.protocols[*p], facts: facts.of(*p) }).collect();
        assert_eq!(visit.way, Way::Fewest, "{name}");
        let groups: Vec<Group> = visit.acts.iter().map(|a| a.steps.clone()).collect();
        let ruled = rules::problem(&catalog, &catalog.packs[session.head.pack], &parts, &groups);
        for edge in &ruled.problem.edges {
            let (first, second) = (&visit.timeline.slots[edge.first], &visit.timeline.slots[edge.second]);
            let kept = match edge.bond {
                Bond::Before => edge.first < edge.second,
                Bond::RightAfter => edge.second == edge.first + 1,
                Bond::Apart(least) => edge.first > edge.second || second.start.lo - first.end.lo + 1e-6 >= least,
            };
            assert!(kept, "{name}: {edge:?} {:?}", ruled.causes[edge.rule]);
        }
        for (i, a) in visit.acts.iter().enumerate() {
            for b in &visit.acts[i + 1..] {
                for (x, y) in a.steps.members.iter().flat_map(|x| b.steps.members.iter().map(move |y| (*x, *y))) {
                    let act = |at| step(&parts, at).map(|(step, facts)| precedence::Act { step, facts }).expect("is a step");
                    assert!(forbids(&catalog, act(x), act(y)).is_none(), "{name}: {x:?} before {y:?}");
                    assert!(x.part != y.part || x.step < y.step, "{name}: each protocol keeps its order");
                }
            }
        }
        let steps: usize = visit.acts.iter().map(|a| a.steps.members.len()).sum();
        assert_eq!(steps, parts.iter().map(|p| p.doc.steps.len()).sum::<usize>(), "{name}: every step is done");
        assert!(bound(&parts, &visit.acts) <= visit.timeline.turns, "{name}");
        assert_eq!(visit.turns.len(), visit.timeline.turns, "{name}: every turn has a reason");
        assert!(visit.turns.iter().all(|t| t.first || t.held.is_some()), "{name}: {:?}", visit.turns);
        seen.push((name.to_string(), visit.timeline.turns, visit.listed, bound(&parts, &visit.acts), visit.acts.len()));
    }
    let wanted = [("hip-and-calf", 4, 5, 4, 20), ("hip-back-and-side", 4, 6, 2, 29), ("neck-and-shoulder", 3, 6, 3, 17)];
    assert_eq!(seen, wanted.map(|(n, a, b, c, d)| (n.to_string(), a, b, c, d)));
}

#[test]
fn what_is_done_once_is_counted_once() {
    let catalog = demo();
    let facts = crate::compute::compute(&catalog, TODAY);
    let given_twice = |id: &str| {
        let idx = catalog.protocols.iter().find(|(_, p)| &*p.head.id.value == id).expect("is there").0;
        let mut session = catalog.sessions.rows()[0].clone();
        let mut all = catalog.sessions.rows().iter().flat_map(|s| &s.protocols);
        let own = all.find(|r| r.to == Some(idx)).expect("is in a session").clone();
        session.protocols = vec![own.clone(), own];
        (idx, compute(&catalog, &session, &facts.protocols))
    };
    // Two sweeps of cold on one skin keep 20 min apart, and there is nothing to do in that time.
    assert_eq!(given_twice("soleus").1.visit.way, Way::NoOrder);
    let (idx, twice) = given_twice("upper-trapezius");
    let heat = |ledger: &ledger::Ledger| -> f64 {
        ledger.cells.iter().filter(|c| c.stressor == crate::model::vocabulary::Stressor::Heat).map(|c| c.session.hi).fold(0.0, f64::max)
    };
    assert!((heat(&twice.ledger) - heat(&facts.of(idx).ledger)).abs() < 1e-9, "one pack covers both");
    let squeeze = |ledger: &ledger::Ledger| -> f64 {
        ledger.cells.iter().filter(|c| c.stressor == crate::model::vocabulary::Stressor::Squeeze).map(|c| c.session.hi).fold(0.0, f64::max)
    };
    assert!((squeeze(&twice.ledger) - 2.0 * squeeze(&facts.of(idx).ledger)).abs() < 1e-9, "squeezing is not");
    let once: Vec<Once> = twice.visit.acts.iter().filter_map(|a| a.steps.once).collect();
    for wanted in [Once::Asked, Once::Agreed, Once::Measured, Once::Tested, Once::Warmed, Once::Looked, Once::Told] {
        assert!(once.contains(&wanted), "{wanted:?} is not among {once:?}");
    }
}

/// A gauge presses as a thumb does: nobody is pressed before the questions and the consent of every protocol, though a
/// baseline that needs the position of the questions would save a turn.
#[test]
fn what_is_asked_and_agreed_comes_before_a_gauge_that_presses() {
    let mut catalog = demo();
    let row = |id: &str| catalog.protocols.iter().find(|(_, p)| &*p.head.id.value == id).expect("is there").0;
    let (pressed, other) = (row("infraspinatus"), row("levator-scapulae"));
    let mut rows = catalog.protocols.rows().to_vec();
    let prone = rows[pressed.row()].steps[3].position.take();
    rows[pressed.row()].steps[4].position.clone_from(&prone);
    rows[other.row()].steps[0].position = prone;
    rows[other.row()].steps[1].action.value = "Ask for consent to the neck.".into();
    catalog.protocols = crate::model::Table::new(rows);
    let mut session = catalog.sessions.rows()[0].clone();
    for (protocol, idx) in session.protocols.iter_mut().zip([pressed, other]) {
        protocol.to = Some(idx);
    }
    let facts = crate::compute::compute(&catalog, TODAY);
    let visit = compute(&catalog, &session, &facts.protocols).visit;
    let role = |act: &Act| {
        let lead = act.steps.lead;
        let own = &facts.of(visit.parts[lead.part]).steps[lead.step];
        (own.technique.map(|t| catalog.techniques[t].role), own.is_treatment())
    };
    let first = visit.acts.iter().position(|a| role(a).1).expect("something loads");
    assert_eq!(role(&visit.acts[first]).0, Some(crate::model::vocabulary::Role::Measurement), "the gauge is the first load");
    let asked = |a: &Act| role(a).0 == Some(crate::model::vocabulary::Role::Screening) || a.steps.members.iter().any(|m| m.step == 1);
    let last = visit.acts.iter().rposition(asked).expect("something is asked");
    assert!(last < first, "act {} asks, act {} presses", last + 1, first + 1);
}

#[test]
fn safety_is_never_left_out_and_warmth_goes_first() {
    let catalog = demo();
    let facts = crate::compute::compute(&catalog, TODAY);
    for own in &facts.sessions {
        let visit = &own.visit;
        let role = |row: usize| {
            let lead = visit.acts[row].steps.lead;
            let technique = facts.of(visit.parts[lead.part]).steps[lead.step].technique.expect("is linked");
            catalog.techniques[technique].role
        };
        let order: Vec<late::Goes> = visit.late.iter().map(|l| l.goes).collect();
        assert!(order.is_sorted() && order.len() > 3);
        assert!(visit.late.iter().all(|l| role(l.act) == crate::model::vocabulary::Role::Treatment && l.wins.hi > 0.0));
        assert!(visit.late.iter().flat_map(|l| &l.falls).all(|row| role(*row) == crate::model::vocabulary::Role::Pause));
    }
}

#[test]
fn a_single_protocol_is_its_own_order() {
    let catalog = base();
    let facts = crate::compute::compute(&catalog, TODAY);
    let visit = &facts.sessions[0].visit;
    assert_eq!((visit.way, visit.timeline.turns), (Way::Fewest, facts.protocols[0].timeline.turns));
    let rows: Vec<usize> = visit.acts.iter().map(|a| a.steps.lead.step).collect();
    assert_eq!(rows, (0..rows.len()).collect::<Vec<_>>());
    assert_eq!(facts.sessions[0].total, facts.protocols[0].timeline.total);
}

#[test]
fn what_keeps_heat_or_cold_apart_is_not_left_out() {
    use crate::model::vocabulary::{Role, Stressor};
    let catalog = demo();
    let facts = crate::compute::compute(&catalog, TODAY);
    let (mut kept, mut offered) = (0, 0);
    for own in &facts.sessions {
        let visit = &own.visit;
        let at = |row: usize| {
            let lead = visit.acts[row].steps.lead;
            &facts.of(visit.parts[lead.part]).steps[lead.step]
        };
        let thermal = |row: &usize| at(*row).load(Stressor::Heat).is_some() || at(*row).load(Stressor::Cold).is_some();
        for row in 0..visit.acts.len() {
            let treats = at(row).technique.is_some_and(|t| catalog.techniques[t].role == Role::Treatment) && !thermal(&row);
            let between = (0..row).any(|i| thermal(&i)) && (row + 1..visit.acts.len()).any(|i| thermal(&i));
            let goes = visit.late.iter().any(|l| l.act == row);
            assert!(!(treats && between && goes), "{:?}: act {row} is offered", visit.parts);
            kept += usize::from(treats && between);
            offered += usize::from(treats && goes);
        }
    }
    assert!(kept > 0 && offered > 0, "{kept} stand between heat and cold, {offered} of the others are offered");
}

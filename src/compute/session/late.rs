//! What may be left out if time is short, and what must not.
//!
//! Never left out: what is asked, agreed, tested, measured and told, looks at the skin, closing movement, and what fills
//! the time between heat or cold and a load that has to wait for it. Of the
//! rest, warmth for comfort goes first, then teaching of what is done at home, then treatment, that of the protocol
//! with the least certain evidence first. Common practice, no source.

use super::once::{Group, step};
use super::rules::tie;
use super::{Act, Part, Tie, timeline};
use crate::compute::appraisal::claims;
use crate::compute::precedence::{self, concerns};
use crate::compute::steps::StepFacts;
use crate::model::Catalog;
use crate::model::docs::{Comes, Pack};
use crate::model::evidence::Certainty;
use crate::model::interval::Interval;
use crate::model::region::any_meets;
use crate::model::vocabulary::{Role, Stressor};

/// Why something goes, first what goes first.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Goes {
    /// Warmth for comfort.
    Comfort,
    /// Teaching of what is done at home.
    HomeTeaching,
    /// Treatment: the best certainty that its protocols state, none before very low.
    Treatment(Option<Certainty>),
}

/// Something that may be left out.
#[derive(Clone, Debug, PartialEq)]
pub struct Late {
    /// Row of the act.
    pub act: usize,
    /// Rows of acts that go with it.
    pub falls: Vec<usize>,
    /// Seconds won: least and most.
    pub wins: Interval,
    /// Why it goes here.
    pub goes: Goes,
}

/// What may be left out, first what goes first.
pub fn late(catalog: &Catalog, pack: &Pack, parts: &[Part<'_>], acts: &[Act]) -> Vec<Late> {
    let whole = timeline(pack, acts, None).total;
    let mut out: Vec<Late> = Vec::new();
    for (row, act) in acts.iter().enumerate() {
        let Some(goes) = goes(catalog, parts, act, acts) else { continue };
        let falls = falls(catalog, parts, acts, row);
        if fills_a_gap(parts, acts, row, &falls) {
            continue;
        }
        let left = without(acts, |i| i == row || falls.contains(&i));
        let rest = timeline(pack, &left, None).total;
        let wins = Interval::new((whole.lo - rest.lo).max(0.0), (whole.hi - rest.hi).max(0.0));
        out.push(Late { act: row, falls, wins, goes });
    }
    out.sort_by(|a, b| a.goes.cmp(&b.goes).then(b.wins.hi.total_cmp(&a.wins.hi)).then(a.act.cmp(&b.act)));
    out
}

/// True if the time of an act may be what keeps heat or cold before it apart from heat, cold or pressing after it:
/// without it the later one would come too soon.
fn fills_a_gap(parts: &[Part<'_>], acts: &[Act], row: usize, falls: &[usize]) -> bool {
    let staying = |rows: std::ops::Range<usize>| {
        let stay = rows.filter(|i| !falls.contains(i)).filter_map(|i| acts.get(i));
        stay.filter_map(|a| step(parts, a.steps.lead)).map(|(_, facts)| facts).collect::<Vec<_>>()
    };
    let has = |facts: &StepFacts, any: [Stressor; 2]| any.iter().any(|s| facts.load(*s).is_some());
    let (before, after) = (staying(0..row), staying(row + 1..acts.len()));
    before.iter().filter(|b| has(b, [Stressor::Heat, Stressor::Cold])).any(|b| {
        let presses = |a: &StepFacts| has(a, [Stressor::Pressure, Stressor::Squeeze]) && any_meets(&a.places, &b.places);
        after.iter().any(|a| has(a, [Stressor::Heat, Stressor::Cold]) || presses(a))
    })
}

/// The acts that stay, with the turns that are then left.
fn without(acts: &[Act], gone: impl Fn(usize) -> bool) -> Vec<Act> {
    let mut position = None;
    let stay = acts.iter().enumerate().filter(|(i, _)| !gone(*i)).map(|(_, a)| a.clone());
    stay.map(|act| {
        let turns = act.position.is_some() && position.is_some() && act.position != position;
        position = act.position.or(position);
        Act { turns, ..act }
    })
    .collect()
}

fn role(catalog: &Catalog, parts: &[Part<'_>], group: &Group) -> Option<Role> {
    step(parts, group.lead).and_then(|(_, f)| f.technique).map(|t| catalog.techniques[t].role)
}

fn goes(catalog: &Catalog, parts: &[Part<'_>], act: &Act, acts: &[Act]) -> Option<Goes> {
    let (_, facts) = step(parts, act.steps.lead)?;
    let technique = facts.technique?;
    match role(catalog, parts, &act.steps)? {
        Role::Treatment if facts.load(Stressor::Heat).is_some() => Some(Goes::Comfort),
        Role::Movement => {
            let taught = act
                .steps
                .members
                .iter()
                .filter_map(|m| parts.get(m.part))
                .any(|p| p.facts.home.iter().any(|h| h.technique == Some(technique)));
            taught.then_some(Goes::HomeTeaching)
        }
        Role::Treatment if !only_treatment(catalog, parts, act, acts) => {
            let of = act.steps.members.iter().filter_map(|m| parts.get(m.part));
            Some(Goes::Treatment(of.filter_map(|p| certainty(catalog, p)).max()))
        }
        _ => None,
    }
}

/// The best certainty that a protocol states about an effect.
fn certainty(catalog: &Catalog, part: &Part<'_>) -> Option<Certainty> {
    let claims = part.doc.rationale.iter().chain(&part.doc.evidence).filter(|c| c.effect.is_some());
    claims.filter_map(|c| claims::certainty(catalog, c)).max()
}

/// True if a protocol of the act has no other treatment than this: without it, the protocol is not given at all.
fn only_treatment(catalog: &Catalog, parts: &[Part<'_>], act: &Act, acts: &[Act]) -> bool {
    act.steps.members.iter().any(|m| {
        let others = acts.iter().filter(|a| a.steps.members != act.steps.members && a.steps.members.iter().any(|o| o.part == m.part));
        let treats = |a: &&Act| {
            let heat = step(parts, a.steps.lead).is_some_and(|(_, f)| f.load(Stressor::Heat).is_some());
            role(catalog, parts, &a.steps) == Some(Role::Treatment) && !heat
        };
        others.filter(treats).count() == 0
    })
}

/// Acts that go with one: the look at the skin under it, and what may only be done after it.
fn falls(catalog: &Catalog, parts: &[Part<'_>], acts: &[Act], row: usize) -> Vec<usize> {
    let mut gone = vec![row];
    loop {
        let next = (0..acts.len()).find(|i| !gone.contains(i) && leans(catalog, parts, acts, &gone, *i));
        match next {
            Some(i) => gone.push(i),
            None => break,
        }
    }
    gone.retain(|i| *i != row);
    gone.sort_unstable();
    gone
}

fn leans(catalog: &Catalog, parts: &[Part<'_>], acts: &[Act], gone: &[usize], i: usize) -> bool {
    let Some(act) = acts.get(i) else { return false };
    let looks = act.steps.members.iter().all(|m| {
        let before = crate::compute::numb::At { step: m.step.wrapping_sub(1), ..*m };
        let under = gone.iter().filter_map(|g| acts.get(*g)).any(|g| g.steps.members.contains(&before));
        under && tie(catalog, parts, before) == Some(Tie::Look)
    });
    looks || lacks(catalog, parts, acts, gone, act)
}

/// True if a technique may only follow another, and no act that it may follow is left.
fn lacks(catalog: &Catalog, parts: &[Part<'_>], acts: &[Act], gone: &[usize], act: &Act) -> bool {
    let Some((own, facts)) = step(parts, act.steps.lead) else { return false };
    let Some(technique) = facts.technique else { return false };
    let me = precedence::Act { step: own, facts };
    let mut rules = catalog.techniques[technique].order.iter().filter(|r| r.comes == Comes::OnlyAfter);
    rules.any(|rule| {
        let meant =
            |a: &Act| step(parts, a.steps.lead).is_some_and(|(s, f)| concerns(catalog, rule, me, precedence::Act { step: s, facts: f }));
        let was = gone.iter().filter_map(|g| acts.get(*g)).any(meant);
        was && !acts.iter().enumerate().any(|(j, a)| !gone.contains(&j) && meant(a))
    })
}

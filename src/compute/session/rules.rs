//! What may not be done in any order: the rules of one appointment as bonds between acts.
//!
//! Each protocol keeps its own order. Between protocols: what is asked and agreed comes before the first load of any of
//! them, a baseline before the first treatment; order rules, gaps and numb times of techniques hold for skin that two protocols share; what
//! is said at the end comes after the last load. What belongs together (consent and uncovering, a pack and the
//! look under it, cold and the stretch that follows) is not parted. Nobody lies longer than the position allows,
//! unless one protocol alone lies longer.

use super::once::{Group, asks_to_bare, first_consent, step};
use super::solve::{Act, Bond, Edge, Problem};
use super::{Cause, Part, Tie};
use crate::compute::numb::At;
use crate::compute::precedence::{self, concerns, forbids};
use crate::compute::steps::StepFacts;
use crate::compute::thermal::readiness::{gap_of_rules, stressor};
use crate::compute::thermal::scenario::RE_WARM;
use crate::model::docs::{Comes, Pack, Position};
use crate::model::interval::Interval;
use crate::model::region::any_meets;
use crate::model::vocabulary::{Role, Stressor};
use crate::model::{Catalog, Idx};
use std::collections::BTreeMap;

/// A problem, and what each of its rules is.
pub struct Ruled {
    /// The problem.
    pub problem: Problem,
    /// Rules by number.
    pub causes: Vec<Cause>,
}

/// Collects bonds between acts.
pub(super) struct Bonds<'a> {
    catalog: &'a Catalog,
    pack: &'a Pack,
    parts: &'a [Part<'a>],
    groups: &'a [Group],
    causes: Vec<Cause>,
    edges: Vec<Edge>,
}

/// The bonds and acts of groups of steps.
pub fn problem(catalog: &Catalog, pack: &Pack, parts: &[Part<'_>], groups: &[Group]) -> Ruled {
    let mut bonds = Bonds { catalog, pack, parts, groups, causes: Vec::new(), edges: Vec::new() };
    for part in 0..parts.len() {
        bonds.own(part);
        bonds.belongs(part);
    }
    for x in 0..groups.len() {
        for y in (0..groups.len()).filter(|y| *y != x) {
            bonds.between(x, y);
        }
    }
    let stays = bonds.stays();
    let acts = groups.iter().map(|g| act(catalog, parts, g)).collect();
    let turn = pack.turn.as_ref().map_or(Interval::ZERO, |t| t.value.base());
    let Bonds { causes, edges, .. } = bonds;
    Ruled { problem: Problem { acts: interned(acts), edges, turn, stays }, causes }
}

/// An act before its exposure has a number.
struct Raw {
    act: Act,
    exposure: Option<String>,
}

fn act(catalog: &Catalog, parts: &[Part<'_>], group: &Group) -> Raw {
    let facts = step(parts, group.lead).map(|(_, f)| f);
    let technique = facts.and_then(|f| f.technique).map(|t| &catalog.techniques[t]);
    let set_up = technique.and_then(|t| t.set_up.as_ref()).map_or(Interval::ZERO, |q| q.value.base());
    let lasts = super::once::lasts(parts, group).unwrap_or(Interval::ZERO);
    let position = super::once::needs(catalog, parts, group.lead).map(Idx::row);
    Raw { act: Act { position, exposure: None, set_up, lasts }, exposure: exposure(parts, group.lead) }
}

/// What is bare at a step, as said at it or before it.
pub fn exposure(parts: &[Part<'_>], at: At) -> Option<String> {
    let steps = parts.get(at.part)?.doc.steps.iter().take(at.step + 1);
    steps.rev().find_map(|s| s.exposure.as_ref()).map(|t| t.value.to_string())
}

fn interned(acts: Vec<Raw>) -> Vec<Act> {
    let mut known: Vec<String> = Vec::new();
    let mut number = |text: String| {
        known.iter().position(|k| *k == text).unwrap_or_else(|| {
            known.push(text);
            known.len() - 1
        })
    };
    acts.into_iter().map(|raw| Act { exposure: raw.exposure.map(&mut number), ..raw.act }).collect()
}

impl Bonds<'_> {
    fn rule(&mut self, cause: Cause) -> usize {
        self.causes.iter().position(|c| *c == cause).unwrap_or_else(|| {
            self.causes.push(cause);
            self.causes.len() - 1
        })
    }

    fn add(&mut self, first: usize, second: usize, bond: Bond, cause: Cause) {
        if first == second || self.edges.iter().any(|e| (e.first, e.second, e.bond) == (first, second, bond)) {
            return;
        }
        let rule = self.rule(cause);
        self.edges.push(Edge { first, second, bond, rule });
    }

    fn group_of(&self, at: At) -> Option<usize> {
        self.groups.iter().position(|g| g.members.contains(&at))
    }

    fn role(&self, facts: &StepFacts) -> Option<Role> {
        facts.technique.map(|t| self.catalog.techniques[t].role)
    }

    /// The order of a protocol itself.
    fn own(&mut self, part: usize) {
        let steps = self.parts.get(part).map_or(0, |p| p.doc.steps.len());
        for row in 1..steps {
            let at = |step: usize| self.group_of(At { part, step });
            if let (Some(first), Some(second)) = (at(row - 1), at(row)) {
                self.add(first, second, Bond::Before, Cause::Own(part));
            }
        }
    }

    /// Steps of a protocol that are not parted.
    fn belongs(&mut self, part: usize) {
        let steps = self.parts.get(part).map_or(0, |p| p.doc.steps.len());
        for row in 0..steps {
            let at = At { part, step: row };
            let Some(tie) = tie(self.catalog, self.parts, at) else { continue };
            if let (Some(first), Some(second)) = (self.group_of(at), self.group_of(At { part, step: row + 1 })) {
                self.add(first, second, Bond::RightAfter, Cause::Tied(tie));
            }
        }
    }

    /// Rules between two acts of different protocols, the first of which would come first.
    fn between(&mut self, x: usize, y: usize) {
        let members = |g: usize| self.groups.get(g).map(|g| g.members.clone()).unwrap_or_default();
        for a in members(x) {
            for b in members(y).into_iter().filter(|b| b.part != a.part) {
                let (Some((one, f)), Some((two, g))) = (step(self.parts, a), step(self.parts, b)) else { continue };
                if let Some(cause) = self.comes_first(a, f, b, g) {
                    self.add(x, y, Bond::Before, cause);
                }
                let acts = (precedence::Act { step: one, facts: f }, precedence::Act { step: two, facts: g });
                if let Some(broken) = forbids(self.catalog, acts.0, acts.1) {
                    let rules = &self.catalog.techniques[broken.technique].order;
                    let row = rules.iter().position(|r| r.span == broken.rule.span).unwrap_or(0);
                    self.add(y, x, Bond::Before, Cause::Order(broken.technique, row));
                }
                if let Some((least, cause)) = self.gap(acts.0, acts.1) {
                    self.add(x, y, Bond::Apart(least), cause);
                }
            }
        }
    }

    /// Why one step comes before a step of another protocol, whatever they do to the skin.
    fn comes_first(&self, a: At, f: &StepFacts, b: At, g: &StepFacts) -> Option<Cause> {
        // What is asked and agreed comes before anything that loads, a gauge too; a baseline before anything that treats.
        let treats = |f: &StepFacts| f.is_treatment() && self.role(f) != Some(Role::Measurement);
        let steps = |part: usize| self.parts.get(part).map(|p| &p.facts.steps);
        let opens = |counts: &dyn Fn(&StepFacts) -> bool| steps(a.part).is_some_and(|s| !s.iter().take(a.step + 1).any(counts));
        let baseline = step(self.parts, a).is_some_and(|(s, _)| s.when.as_ref().is_some_and(|w| &*w.value == "baseline"));
        match self.role(f)? {
            Role::Screening if g.is_treatment() && opens(&StepFacts::is_treatment) => return Some(Cause::ScreenFirst),
            Role::Consent if g.is_treatment() && opens(&StepFacts::is_treatment) => {
                return (first_consent(self.catalog, self.parts, a.part) == Some(a.step)).then_some(Cause::ConsentFirst);
            }
            Role::Measurement if baseline && treats(g) && opens(&treats) => return Some(Cause::BaselineFirst),
            _ => {}
        }
        let closes = steps(b.part).is_some_and(|s| !s.iter().skip(b.step).any(treats));
        (treats(f) && self.role(g)? == Role::Education && closes).then_some(Cause::TalkLast)
    }

    /// The longest time that has to lie between a step and a later one on the same skin.
    fn gap(&self, a: precedence::Act<'_>, b: precedence::Act<'_>) -> Option<(f64, Cause)> {
        let (f, g) = (a.facts, b.facts);
        let shared = any_meets(&f.places, &g.places);
        let mut gaps: Vec<(f64, Cause)> = self.stated(a, b).into_iter().chain(self.stated(b, a)).collect();
        let thermal = &self.pack.thermal;
        let presses = [Stressor::Pressure, Stressor::Squeeze].iter().any(|s| g.load(*s).is_some());
        if let Some(numb) = f.load(Stressor::Cold).and_then(|l| l.numbs_for).filter(|_| shared && presses) {
            gaps.push((numb, Cause::Numb));
        }
        if let Some(cold) = f.thermal.as_ref().filter(|t| shared && !t.exposure.scenario.is_heat() && g.thermal.is_some()) {
            gaps.push((cold.exposure.rewarm().unwrap_or(RE_WARM), Cause::Rewarm));
        }
        if let (Some(x), Some(y), true) = (stressor(f), stressor(g), shared)
            && x != y
            && let (Some(s), Some(t)) = (f.technique, g.technique)
        {
            let techniques = &self.catalog.techniques;
            gaps.push((thermal.opposed_gap.value.max(gap_of_rules(&techniques[s], &techniques[t])), Cause::Opposed));
        }
        if shared && f.load(Stressor::Topical).is_some() && stressor(g).is_some() {
            gaps.push((thermal.topical.value, Cause::Rubbed));
        }
        gaps.into_iter().filter(|(least, _)| *least > 0.0).max_by(|x, y| x.0.total_cmp(&y.0))
    }

    /// Gaps that the technique of `own` asks for towards the other step.
    fn stated(&self, own: precedence::Act<'_>, other: precedence::Act<'_>) -> Option<(f64, Cause)> {
        let technique = own.facts.technique?;
        let rules = self.catalog.techniques[technique].order.iter().enumerate().filter(|(_, r)| r.comes == Comes::Apart);
        let itself = |r: &crate::model::docs::OrderRule| {
            use crate::model::docs::Towards;
            let named = match &r.towards {
                Some(Towards::Technique(t)) => t.to == other.facts.technique,
                Some(Towards::Stressor(s)) => other.facts.load(*s).is_some(),
                None => false,
            };
            named && own.facts.technique == other.facts.technique && (r.anywhere || any_meets(&own.facts.places, &other.facts.places))
        };
        let meant = rules.filter(|(_, r)| itself(r) || concerns(self.catalog, r, own, other));
        let gaps = meant.filter_map(|(i, r)| Some((r.gap.as_ref()?.value.base().lo, Cause::Gap(technique, i))));
        gaps.max_by(|x, y| x.0.total_cmp(&y.0))
    }

    /// Longest times in positions: the limit of the position, or the longest that one protocol alone takes.
    fn stays(&mut self) -> BTreeMap<usize, (f64, usize)> {
        let mut out = BTreeMap::new();
        for (idx, position) in self.catalog.positions.iter() {
            let Some(limit) = position.time_limit.as_ref().map(|q| q.value.base().hi).filter(|l| l.is_finite()) else { continue };
            let own = (0..self.parts.len()).map(|part| self.longest_stay(part, idx)).fold(limit, f64::max);
            if self.parts.iter().any(|p| p.facts.steps.iter().any(|s| s.position == Some(idx))) {
                out.insert(idx.row(), (own, self.rule(Cause::Stay(idx))));
            }
        }
        out
    }

    fn longest_stay(&self, part: usize, position: Idx<Position>) -> f64 {
        let (mut longest, mut now) = (0.0_f64, 0.0_f64);
        for facts in self.parts.get(part).map(|p| p.facts.steps.as_slice()).unwrap_or_default() {
            if facts.position != Some(position) {
                now = 0.0;
                continue;
            }
            let set_up = facts.technique.and_then(|t| self.catalog.techniques[t].set_up.as_ref()).map_or(0.0, |q| q.value.base().hi);
            now += set_up + facts.duration.map_or(0.0, |d| if d.hi.is_finite() { d.hi } else { d.lo });
            longest = longest.max(now);
        }
        longest
    }
}

/// Why a step and the next of its protocol are not parted; `None` if they may be.
pub fn tie(catalog: &Catalog, parts: &[Part<'_>], at: At) -> Option<Tie> {
    let ((_, f), (_, next)) = (step(parts, at)?, step(parts, At { step: at.step + 1, ..at })?);
    let role = |f: &StepFacts| f.technique.map(|t| catalog.techniques[t].role);
    if f.load(Stressor::Heat).is_some() && role(next) == Some(Role::Pause) {
        return Some(Tie::Look);
    }
    if f.load(Stressor::Cold).is_some() && next.load(Stressor::Stretch).is_some() {
        return Some(Tie::Cool);
    }
    (role(f) == Some(Role::Consent) && asks_to_bare(catalog, parts, at)).then_some(Tie::Bare)
}

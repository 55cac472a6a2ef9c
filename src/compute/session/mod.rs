//! Several protocols in one appointment: what is done once, in which order the person turns least, why each turn
//! is needed, how long it takes, what adds up, and what may be left out if time is short.
//!
//! `once` takes steps together, `rules` says what may not be done in any order, `solve` finds the order, `reason`
//! says why the person turns, `late` what can go, `regroup` asks the same of a single protocol.

pub mod late;
pub mod once;
pub mod reason;
pub mod regroup;
pub mod rules;
pub mod solve;

use super::numb::At;
use super::timeline::{Slot, Timeline};
use super::{ProtocolFacts, ledger};
use crate::model::docs::{Pack, Position, Protocol, Session, Technique};
use crate::model::interval::Interval;
use crate::model::{Catalog, Idx};
use late::Late;
use once::Group;
use reason::{Forced, Turn};
use rules::Ruled;
use solve::{Found, Stuck};

/// A protocol of an appointment.
#[derive(Copy, Clone)]
pub struct Part<'a> {
    /// Its row.
    pub idx: Idx<Protocol>,
    /// The document.
    pub doc: &'a Protocol,
    /// What follows from it alone.
    pub facts: &'a ProtocolFacts,
}

/// What makes several steps one.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Once {
    /// Stop-signs are asked.
    Asked,
    /// Consent to the plan.
    Agreed,
    /// What to expect and what to do.
    Told,
    /// The same measure at the same place.
    Measured,
    /// A test of feeling on skin that covers both.
    Tested,
    /// A pack that covers both.
    Warmed,
    /// The look at the skin under that pack.
    Looked,
}

/// What is not parted.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Tie {
    /// A pack and the look at the skin.
    Look,
    /// Cold and the stretch that follows.
    Cool,
    /// Consent to uncover and the uncovering.
    Bare,
}

/// A rule on the order of steps.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Cause {
    /// A protocol keeps its order.
    Own(usize),
    /// Stop-signs of all before any load.
    ScreenFirst,
    /// Consent to all before any load.
    ConsentFirst,
    /// Baselines of all before any load.
    BaselineFirst,
    /// The closing talk after every load.
    TalkLast,
    /// An order rule of a technique, by row.
    Order(Idx<Technique>, usize),
    /// A gap of a technique, by row of its order rules.
    Gap(Idx<Technique>, usize),
    /// Numb skin is not pressed.
    Numb,
    /// Skin is warm again before heat or cold.
    Rewarm,
    /// Heat and cold on one skin keep apart.
    Opposed,
    /// A rub bars heat and cold.
    Rubbed,
    /// What belongs together.
    Tied(Tie),
    /// The longest time in a position.
    Stay(Idx<Position>),
}

/// Where the order comes from.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Way {
    /// It has the fewest turns of all that keep the rules.
    Fewest,
    /// The author wants one protocol after the other.
    AsListed,
    /// No order keeps every rule: one protocol after the other.
    NoOrder,
    /// There are too many orders to search: one protocol after the other.
    TooMany,
}

/// One act of the appointment.
#[derive(Clone, Debug)]
pub struct Act {
    /// The steps that it is.
    pub steps: Group,
    /// Position, own or carried on.
    pub position: Option<Idx<Position>>,
    /// What is bare.
    pub exposure: Option<String>,
    /// Seconds before it that set things up.
    pub set_up: Interval,
    /// Seconds; `None` if that is not known.
    pub lasts: Option<Interval>,
    /// True if the person turns before it.
    pub turns: bool,
}

/// A whole appointment.
#[derive(Clone, Debug)]
pub struct Visit {
    /// Protocols, in the order of the document.
    pub parts: Vec<Idx<Protocol>>,
    /// Acts, in order.
    pub acts: Vec<Act>,
    /// When each starts and ends.
    pub timeline: Timeline,
    /// Where the order comes from.
    pub way: Way,
    /// Why the person turns.
    pub turns: Vec<Turn>,
    /// Turns with one protocol after the other.
    pub listed: usize,
    /// Fewest turns that keep every rule, where that is known.
    pub fewest: Option<usize>,
    /// Rules without which fewer turns would do.
    pub forced: Vec<Forced>,
    /// False if the longest time in a position had to give way.
    pub stays_kept: bool,
    /// What may be left out, first what goes first.
    pub late: Vec<Late>,
}

/// What follows from several protocols in one appointment.
#[derive(Debug)]
pub struct SessionFacts {
    /// Merged ledger: the same side is treated throughout, which is the worst case.
    pub ledger: ledger::Ledger,
    /// Total time with notes.
    pub total: Interval,
    /// The appointment step by step.
    pub visit: Visit,
}

/// An order with the problem that it solves.
struct Solved {
    groups: Vec<Group>,
    ruled: Ruled,
    found: Found,
    stays_kept: bool,
}

pub(super) fn compute(catalog: &Catalog, session: &Session, protocols: &[ProtocolFacts]) -> SessionFacts {
    let rows = session.protocols.iter().filter_map(|r| r.to);
    let parts: Vec<Part<'_>> =
        rows.filter_map(|idx| Some(Part { idx, doc: &catalog.protocols[idx], facts: protocols.get(idx.row())? })).collect();
    let visit = visit(catalog, session, &parts);
    let covered: Vec<At> = visit.acts.iter().flat_map(|a| a.steps.members.iter().copied().filter(|m| *m != a.steps.lead)).collect();
    let facts: Vec<(Idx<Protocol>, &ProtocolFacts)> = parts.iter().map(|p| (p.idx, p.facts)).collect();
    let ledger = ledger::merge(catalog, session, &facts, &covered);
    SessionFacts { ledger, total: visit.timeline.total, visit }
}

fn visit(catalog: &Catalog, session: &Session, parts: &[Part<'_>]) -> Visit {
    let pack = &catalog.packs[session.head.pack];
    let solved = search(catalog, pack, parts);
    let listed = listed(catalog, parts);
    let listed_turns = listed.iter().filter(|a| a.turns).count();
    let fewest = solved.as_ref().ok().map(|s| s.found.turns);
    let (way, acts) = match (&solved, session.as_listed()) {
        (_, true) => (Way::AsListed, listed),
        (Ok(s), _) => (Way::Fewest, acts(catalog, parts, s.found.order.iter().filter_map(|g| s.groups.get(*g)))),
        (Err(Stuck::NoOrder), _) => (Way::NoOrder, listed),
        (Err(Stuck::TooMany), _) => (Way::TooMany, listed),
    };
    let (turns, forced) = match (&solved, way) {
        (Ok(s), Way::Fewest) => {
            let forced = reason::forced(&s.ruled, &s.found);
            (reason::turns(&s.ruled, &s.found, &forced), forced)
        }
        _ => (reason::plain(&acts), Vec::new()),
    };
    let appointment = session.appointment.as_ref().or(pack.appointment.as_ref()).map(|q| q.value.base().hi);
    let timeline = timeline(pack, &acts, appointment);
    let late = late::late(catalog, pack, parts, &acts);
    let stays_kept = solved.as_ref().map_or(true, |s| s.stays_kept);
    let parts = parts.iter().map(|p| p.idx).collect();
    Visit { parts, acts, timeline, way, turns, listed: listed_turns, fewest, forced, stays_kept, late }
}

/// The order with the fewest turns. If the longest times in positions, or what is done once, leave no order, they
/// give way in that sequence; rules of safety never do.
fn search(catalog: &Catalog, pack: &Pack, parts: &[Part<'_>]) -> Result<Solved, Stuck> {
    let mut stuck = Stuck::NoOrder;
    for groups in [once::together(catalog, parts), once::apart(parts)] {
        for stays_kept in [true, false] {
            let mut ruled = rules::problem(catalog, pack, parts, &groups);
            if !stays_kept {
                ruled.problem.stays.clear();
            }
            match solve::solve(&ruled.problem, None) {
                Ok(found) => return Ok(Solved { groups, ruled, found, stays_kept }),
                Err(Stuck::TooMany) => return Err(Stuck::TooMany),
                Err(Stuck::NoOrder) => stuck = Stuck::NoOrder,
            }
        }
    }
    Err(stuck)
}

/// One protocol after the other, every step by itself.
fn listed(catalog: &Catalog, parts: &[Part<'_>]) -> Vec<Act> {
    acts(catalog, parts, once::apart(parts).iter())
}

fn acts<'g>(catalog: &Catalog, parts: &[Part<'_>], groups: impl Iterator<Item = &'g Group>) -> Vec<Act> {
    let mut position = None;
    groups
        .map(|group| {
            let facts = once::step(parts, group.lead).map(|(_, f)| f);
            let own = once::needs(catalog, parts, group.lead);
            let turns = own.is_some() && position.is_some() && own != position;
            position = own.or(position);
            let technique = facts.and_then(|f| f.technique).map(|t| &catalog.techniques[t]);
            Act {
                steps: group.clone(),
                position,
                exposure: rules::exposure(parts, group.lead),
                set_up: technique.and_then(|t| t.set_up.as_ref()).map_or(Interval::ZERO, |q| q.value.base()),
                lasts: once::lasts(parts, group),
                turns,
            }
        })
        .collect()
}

/// The acts on the time axis.
pub(super) fn timeline(pack: &Pack, acts: &[Act], appointment: Option<f64>) -> Timeline {
    let seconds = |q: &Option<crate::model::docs::Amount>| q.as_ref().map_or(Interval::ZERO, |q| q.value.base());
    let mut now = Interval::ZERO;
    let mut slots = Vec::with_capacity(acts.len());
    for act in acts {
        if act.turns {
            now = now + seconds(&pack.turn);
        }
        now = now + act.set_up;
        let start = now;
        now = now + act.lasts.unwrap_or(Interval::ZERO);
        slots.push(Slot { start, end: now, turn: act.turns, known: act.lasts.is_some() });
    }
    let turns = acts.iter().filter(|a| a.turns).count();
    Timeline { slots, turns, without_notes: now, total: now + seconds(&pack.notes_time), appointment }
}

impl Visit {
    /// The act that a step is part of.
    pub fn act_of(&self, at: At) -> Option<&Act> {
        self.acts.iter().find(|a| a.steps.members.contains(&at))
    }
}

#[cfg(test)]
mod tests;

//! The dose ledger: what adds up, where, best case and worst case, and which step adds what.
//!
//! Three ledgers with three keys: heat, cold and what lies on the skin add up for each region;
//! pressure, squeeze and shear for each region and for each palpation point; stretch and effort for
//! each muscle. Two muscles can share skin: that is how a session overdoses cold while every
//! protocol in it is within limits.

use super::ProtocolFacts;
use super::numb::At;
use super::steps::{Load, StepFacts};
use crate::model::docs::{HomeItem, Limit, Muscle, Pack, Protocol, Session, Technique};
use crate::model::interval::{Interval, exceeds};
use crate::model::region::{Place, RegionId, Side, regions};
use crate::model::unit::Dim;
use crate::model::vocabulary::{Per, Stressor};
use crate::model::{Catalog, Idx};
use crate::source::Span;

/// What a cell counts on.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Key {
    /// Skin of a region on a side.
    Skin(RegionId, Side),
    /// A palpation point of a muscle.
    Point(Idx<Muscle>, u32),
    /// A muscle with its joints.
    Muscle(Idx<Muscle>),
}

impl Key {
    /// Name for people.
    pub fn shown(self, catalog: &Catalog) -> String {
        match self {
            Key::Skin(region, side) => Place { region, side }.shown(),
            Key::Point(muscle, n) => format!("point {n} of {}", catalog.muscles[muscle].name.value),
            Key::Muscle(muscle) => catalog.muscles[muscle].name.value.to_string(),
        }
    }
}

/// Where an amount comes from.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Origin {
    /// A step, by row.
    Step(usize),
    /// A home item, by row.
    Home(usize),
}

/// What one step or home item adds.
#[derive(Clone, Debug)]
pub struct Part {
    /// Protocol.
    pub protocol: Idx<Protocol>,
    /// Step or home item.
    pub origin: Origin,
    /// Where it stands, for labels.
    pub at: Span,
    /// Amount in a session; for a home item, in a week.
    pub amount: Interval,
}

/// A limit that holds for a cell.
#[derive(Clone, Debug)]
pub struct Bound {
    /// Session, point or week.
    pub per: Per,
    /// The most, in base units.
    pub max: f64,
    /// Where the limit stands.
    pub at: Span,
    /// True if it is a house limit, false if it comes with a technique.
    pub house: bool,
}

/// One cell.
#[derive(Clone, Debug)]
pub struct Cell {
    /// Where it counts.
    pub key: Key,
    /// What is counted.
    pub stressor: Stressor,
    /// Time, passes or repeats.
    pub dim: Dim,
    /// In one session.
    pub session: Interval,
    /// In one week, home programme included.
    pub week: Interval,
    /// What adds what.
    pub parts: Vec<Part>,
    /// Limits that hold here.
    pub bounds: Vec<Bound>,
}

impl Cell {
    /// The total that a limit compares with: best case and worst case.
    pub fn total(&self, per: Per) -> Interval {
        if per == Per::Week { self.week } else { self.session }
    }

    /// Limits whose most is passed in the worst case.
    pub fn exceeded(&self) -> impl Iterator<Item = &Bound> {
        self.bounds.iter().filter(|b| exceeds(self.total(b.per).hi, b.max))
    }
}

/// All cells, sorted by key, stressor and dimension.
#[derive(Clone, Debug, Default)]
pub struct Ledger {
    /// Cells.
    pub cells: Vec<Cell>,
}

impl Ledger {
    fn cell(&mut self, key: Key, stressor: Stressor, dim: Dim) -> &mut Cell {
        let place = self.cells.binary_search_by(|c| (c.key, c.stressor, c.dim).cmp(&(key, stressor, dim)));
        let i = place.unwrap_or_else(|i| {
            let new = Cell { key, stressor, dim, session: Interval::ZERO, week: Interval::ZERO, parts: Vec::new(), bounds: Vec::new() };
            self.cells.insert(i, new);
            i
        });
        &mut self.cells[i]
    }
}

/// Keys under which a load of a step counts.
fn keys(step: &StepFacts, stressor: Stressor) -> Vec<Key> {
    let skin = step.places.iter().map(|p| Key::Skin(p.region, p.side));
    let point = step.muscle.zip(step.point).map(|(m, n)| Key::Point(m, n));
    match stressor {
        Stressor::Stretch | Stressor::Contraction => step.muscle.map(Key::Muscle).into_iter().collect(),
        Stressor::Pressure | Stressor::Squeeze | Stressor::Shear => skin.chain(point).collect(),
        Stressor::Cold | Stressor::Heat | Stressor::Topical => skin.collect(),
        Stressor::Position => Vec::new(),
    }
}

pub(super) fn of_protocol(catalog: &Catalog, own: Idx<Protocol>, steps: &[StepFacts], home: &[StepFacts]) -> Ledger {
    let mut ledger = Ledger::default();
    let protocol = &catalog.protocols[own];
    let per_week = per_week(protocol);
    for (i, step) in steps.iter().enumerate() {
        for load in &step.loads {
            let Some((dim, amount)) = load.total else { continue };
            let part = Part { protocol: own, origin: Origin::Step(i), at: protocol.steps[i].action.span, amount };
            for key in keys(step, load.stressor) {
                let cell = ledger.cell(key, load.stressor, dim);
                cell.session = cell.session + amount;
                cell.week = cell.week + amount * per_week;
                cell.parts.push(part.clone());
            }
        }
    }
    for (i, step) in home.iter().enumerate() {
        for load in &step.loads {
            add_home(&mut ledger, own, i, &protocol.home[i], step, load);
        }
    }
    let used: Vec<Idx<Technique>> = steps.iter().chain(home).filter_map(|s| s.technique).collect();
    bind(&mut ledger, &catalog.packs[protocol.head.pack], catalog, &used);
    ledger
}

fn add_home(ledger: &mut Ledger, own: Idx<Protocol>, i: usize, item: &HomeItem, step: &StepFacts, load: &Load) {
    let (Some((dim, amount)), Some(weekly)) = (load.total, weekly(item)) else { return };
    let part = Part { protocol: own, origin: Origin::Home(i), at: item.action.span, amount: amount * weekly };
    for key in keys(step, load.stressor) {
        let cell = ledger.cell(key, load.stressor, dim);
        cell.week = cell.week + amount * weekly;
        cell.parts.push(part.clone());
    }
}

/// How often a week a home item is done; `None` if it cannot be counted.
pub fn weekly(item: &HomeItem) -> Option<Interval> {
    let per_day = item.per_day.as_ref()?.value.base();
    let daily = Interval::new(per_day.lo / 7.0, per_day.hi / 7.0);
    Some(daily * item.days.as_ref()?.value.base())
}

/// Sums the protocols of a session. Home programmes stay in the week of each protocol. What is done once is counted
/// once: `covered` names the steps that another step does as well, by place of the protocol and row.
pub(super) fn merge(catalog: &Catalog, session: &Session, parts: &[(Idx<Protocol>, &ProtocolFacts)], covered: &[At]) -> Ledger {
    let mut ledger = Ledger::default();
    let mut used = Vec::new();
    for (part, (own, facts)) in parts.iter().enumerate() {
        let per_week = per_week(&catalog.protocols[*own]);
        let counts =
            |p: &&Part| matches!(p.origin, Origin::Home(_)) || !covered.iter().any(|c| c.part == part && p.origin == Origin::Step(c.step));
        for cell in &facts.ledger.cells {
            for kept in cell.parts.iter().filter(counts) {
                let sum = ledger.cell(cell.key, cell.stressor, cell.dim);
                if matches!(kept.origin, Origin::Step(_)) {
                    sum.session = sum.session + kept.amount;
                    sum.week = sum.week + kept.amount * per_week;
                } else {
                    sum.week = sum.week + kept.amount;
                }
                sum.parts.push(kept.clone());
            }
        }
        used.extend(facts.steps.iter().chain(&facts.home).filter_map(|s| s.technique));
    }
    bind(&mut ledger, &catalog.packs[session.head.pack], catalog, &used);
    ledger
}

fn per_week(protocol: &Protocol) -> Interval {
    protocol.spacing.per_week.as_ref().map_or(Interval::exact(1.0), |q| q.value.base())
}

/// Finds the limits of each cell.
fn bind(ledger: &mut Ledger, pack: &Pack, catalog: &Catalog, used: &[Idx<Technique>]) {
    let mut techniques: Vec<Idx<Technique>> = used.to_vec();
    techniques.sort_unstable();
    techniques.dedup();
    for cell in &mut ledger.cells {
        let own = techniques.iter().flat_map(|t| catalog.techniques[*t].limits.iter().map(|l| (l, false)));
        let bounds = pack.limits.iter().map(|l| (l, true)).chain(own).filter_map(|(limit, house)| bound(cell, limit, house));
        cell.bounds = bounds.collect();
    }
}

fn bound(cell: &Cell, limit: &Limit, house: bool) -> Option<Bound> {
    let max = limit.max.as_ref()?;
    let fits = limit.stressor == cell.stressor
        && max.value.dim() == cell.dim
        && match (limit.per, cell.key) {
            (Per::Step, _) => false,
            (Per::Point, Key::Point(..)) => true,
            (Per::Session | Per::Week, Key::Skin(region, side)) => holds_at(limit, &[Place { region, side }]),
            (Per::Session | Per::Week, Key::Muscle(_)) => limit.regions.all.is_empty() && limit.tags.is_empty(),
            _ => false,
        };
    fits.then(|| Bound { per: limit.per, max: max.value.base().hi, at: max.span, house })
}

/// True if a limit holds at any of these places.
pub fn holds_at(limit: &Limit, places: &[Place]) -> bool {
    if limit.regions.all.is_empty() && limit.tags.is_empty() {
        return true;
    }
    places.iter().any(|place| {
        limit.regions.all.iter().any(|p| p.meets(*place)) || limit.tags.iter().any(|t| regions().get(place.region).tags.contains(t))
    })
}

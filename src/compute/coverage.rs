//! What there is of each muscle, and which protocols use each technique, from what the documents contain.
//!
//! A cell is a list of things that a course needs, each found or not. Nothing is weighed, and no share is computed.

use super::appraisal::claims;
use super::{Facts, ProtocolFacts};
use crate::compute::currency::sign_off::State;
use crate::model::docs::{Claim, Muscle, Point, Protocol, Technique};
use crate::model::{Catalog, DocRef, Idx, Kind};

crate::model::vocabulary::words! {
    /// Part of the work that a course teaches of a muscle.
    Column {
        /// Where it runs and what it does.
        Anatomy = "anatomy",
        /// How it is found.
        Find = "find",
        /// What is done.
        Do = "do",
        /// What stops it.
        Cautions = "cautions",
        /// What it rests on.
        Evidence = "evidence",
        /// How it is drawn.
        Chart = "chart",
        /// What a stretch does to its length.
        Mechanics = "mechanics",
        /// Who has approved it.
        SignOff = "sign-off",
    }
}

crate::model::vocabulary::words! {
    /// How much of a cell there is.
    Extent {
        /// Everything that the column asks for.
        There = "there",
        /// Some of it.
        Part = "in part",
        /// None of it.
        Missing = "missing",
    }
}

/// A thing that a column asks for.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Asked {
    /// In words.
    pub what: &'static str,
    /// True if the documents have it.
    pub there: bool,
}

/// One column of a muscle.
#[derive(Clone, Debug)]
pub struct Cell {
    /// The column.
    pub column: Column,
    /// What it asks for, in the same order for every muscle.
    pub asked: Vec<Asked>,
}

impl Cell {
    /// How much there is.
    pub fn extent(&self) -> Extent {
        match self.asked.iter().filter(|a| a.there).count() {
            0 => Extent::Missing,
            n if n == self.asked.len() => Extent::There,
            _ => Extent::Part,
        }
    }

    /// What is not there.
    pub fn lacks(&self) -> Vec<&'static str> {
        self.asked.iter().filter(|a| !a.there).map(|a| a.what).collect()
    }
}

/// A muscle.
#[derive(Clone, Debug)]
pub struct Row {
    /// The muscle.
    pub muscle: Idx<Muscle>,
    /// Protocols for it that are not retired.
    pub protocols: Vec<Idx<Protocol>>,
    /// One cell for each column, in their order.
    pub cells: Vec<Cell>,
}

/// A technique in a protocol.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Use {
    /// The protocol.
    pub protocol: Idx<Protocol>,
    /// Numbers of its steps.
    pub steps: Vec<u32>,
    /// Home items, counted from 1.
    pub home: Vec<usize>,
}

/// Everything.
#[derive(Clone, Debug, Default)]
pub struct Coverage {
    /// Muscles, in order of the catalogue.
    pub rows: Vec<Row>,
    /// Protocols that are not retired, in order of the catalogue.
    pub protocols: Vec<Idx<Protocol>>,
    /// Techniques with the protocols that use them, in order of the catalogue.
    pub techniques: Vec<(Idx<Technique>, Vec<Use>)>,
}

impl Coverage {
    /// How many muscles have this much of a column.
    pub fn count(&self, column: Column, extent: Extent) -> usize {
        self.rows.iter().flat_map(|r| &r.cells).filter(|c| c.column == column && c.extent() == extent).count()
    }
}

/// Looks through the documents.
pub fn of(catalog: &Catalog, facts: &Facts) -> Coverage {
    let rows = catalog.muscles.iter().map(|(idx, m)| row(catalog, facts, idx, m)).collect();
    let techniques = catalog.techniques.iter().map(|(idx, _)| (idx, uses(catalog, facts, idx))).collect();
    Coverage { rows, protocols: in_use(catalog, facts).map(|(idx, _)| idx).collect(), techniques }
}

fn in_use<'a>(catalog: &'a Catalog, facts: &'a Facts) -> impl Iterator<Item = (Idx<Protocol>, &'a Protocol)> {
    catalog.protocols.iter().filter(move |(idx, _)| state(catalog, facts, Kind::Protocol, idx.row()) != Some(State::Retired))
}

fn state(catalog: &Catalog, facts: &Facts, kind: Kind, row: usize) -> Option<State> {
    facts.state_of(catalog, DocRef { kind, row: u32::try_from(row).unwrap_or(u32::MAX) })
}

fn row(catalog: &Catalog, facts: &Facts, muscle: Idx<Muscle>, m: &Muscle) -> Row {
    let own: Vec<(Idx<Protocol>, &Protocol)> = in_use(catalog, facts).filter(|(_, p)| p.muscle.to == Some(muscle)).collect();
    let with: Vec<(&Protocol, &ProtocolFacts)> = own.iter().map(|(idx, p)| (*p, facts.of(*idx))).collect();
    let signed = |kind, row| state(catalog, facts, kind, row).is_some_and(State::is_in_force);
    let cells = Column::ALL.iter().map(|column| {
        let asked = match column {
            Column::Anatomy => anatomy(m),
            Column::Find => find(m),
            Column::Do => vec![
                asked("a protocol for it", !with.is_empty()),
                asked("a dose in every step that loads the body", every(&with, |(p, f)| dosed(p, f))),
            ],
            Column::Cautions => vec![
                asked("a hazard near it", !m.hazards.is_empty()),
                asked(
                    "cautions and red flags of every protocol",
                    every(&with, |(_, f)| !f.cautions.is_empty() && !f.flags.flags.is_empty()),
                ),
                asked("a red flag for every topic of its regions", every(&with, |(_, f)| f.flags.uncovered.is_empty())),
            ],
            Column::Evidence => vec![
                asked("a claim in every protocol", every(&with, |(p, _)| !p.evidence.is_empty())),
                asked(
                    "a source, result or question behind every claim",
                    every(&with, |(p, _)| every(&p.evidence, |c| carried(catalog, c))),
                ),
            ],
            Column::Chart => drawn(m),
            Column::Mechanics => vec![asked("moment arms", !m.mechanics.is_empty())],
            Column::SignOff => vec![
                asked("approval of the muscle", signed(Kind::Muscle, muscle.row())),
                asked("approval of every protocol for it", every(&own, |(idx, _)| signed(Kind::Protocol, idx.row()))),
            ],
        };
        Cell { column: *column, asked }
    });
    let cells = cells.collect();
    Row { muscle, protocols: own.iter().map(|(idx, _)| *idx).collect(), cells }
}

fn asked(what: &'static str, there: bool) -> Asked {
    Asked { what, there }
}

/// True if there is one and all are so: nothing at all covers nothing.
fn every<T>(all: &[T], is: impl Fn(&T) -> bool) -> bool {
    !all.is_empty() && all.iter().all(is)
}

fn anatomy(m: &Muscle) -> Vec<Asked> {
    let end = |word: &str| m.attachments.iter().any(|a| a.end == word && !a.text.value.is_empty());
    vec![
        asked("an attachment at each end", end("proximal") && end("distal")),
        asked("an action", m.actions.iter().any(|a| a.motion.is_some())),
        asked("its nerve with the segments", m.nerve.is_some() && !m.segments.is_empty()),
        asked("the direction of its fibres", m.fibres.is_some()),
    ]
}

fn find(m: &Muscle) -> Vec<Asked> {
    let landmark = |p: &Point| p.from.is_some() && (p.direction.is_some() || p.distance.is_some());
    vec![
        asked("a method to feel for it", m.palpation.method.is_some()),
        asked("a point", !m.points.is_empty()),
        asked("a landmark with a direction or a distance for every point", every(&m.points, landmark)),
    ]
}

fn drawn(m: &Muscle) -> Vec<Asked> {
    vec![
        asked("an outline", m.chart.iter().any(|d| d.outline.is_some())),
        asked("a ring for every point", every(&m.points, |p| !p.chart.is_empty())),
        asked("a pain zone of every point", every(&m.points, |p| p.zone.is_some())),
    ]
}

fn dosed(p: &Protocol, f: &ProtocolFacts) -> bool {
    p.steps.iter().zip(&f.steps).filter(|(_, f)| f.is_treatment()).all(|(s, _)| !s.dose.entries.is_empty())
}

fn carried(catalog: &Catalog, claim: &Claim) -> bool {
    !claim.ground.cites.is_empty() || claim.effect.as_ref().is_some_and(|e| claims::support(catalog, e).is_some())
}

fn uses(catalog: &Catalog, facts: &Facts, technique: Idx<Technique>) -> Vec<Use> {
    let one = |(protocol, p): (Idx<Protocol>, &Protocol)| {
        let steps: Vec<u32> = p.steps.iter().filter(|s| s.technique.to == Some(technique)).map(|s| s.number.value).collect();
        let home = p.home.iter().enumerate().filter(|(_, h)| h.technique.to == Some(technique)).map(|(i, _)| i + 1).collect::<Vec<_>>();
        (!steps.is_empty() || !home.is_empty()).then_some(Use { protocol, steps, home })
    };
    in_use(catalog, facts).filter_map(one).collect()
}

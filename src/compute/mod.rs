//! Pure numbers over the catalogue: what each step does, what adds up, who must not have it, who is
//! sent on, how long it takes.
//!
//! No files, no pages, no messages. Every value is computed here once and shown from here
//! everywhere: terminal, page, card, data.

pub mod amount;
pub mod appraisal;
pub mod cautions;
pub mod chart;
pub mod compare;
pub mod convert;
pub mod coverage;
pub mod currency;
pub mod dossier;
pub mod evidence;
pub mod exposure;
pub mod finder;
pub mod flags;
pub mod house;
pub mod ledger;
pub mod measurement;
pub mod mechanics;
pub mod numb;
pub mod order;
pub mod precedence;
pub mod readability;
pub mod reporting;
pub mod session;
pub mod spoken;
pub mod steps;
pub mod studied;
pub mod thermal;
pub mod timeline;
pub mod together;

use crate::model::docs::Protocol;
use crate::model::{Catalog, DocRef, Idx, Kind};
use currency::sign_off::State;
use jiff::civil::Date;
use rayon::prelude::*;
pub use session::SessionFacts;

/// Everything derived from a catalogue.
#[derive(Debug, Default)]
pub struct Facts {
    /// One for each protocol, by row.
    pub protocols: Vec<ProtocolFacts>,
    /// One for each session document, by row.
    pub sessions: Vec<SessionFacts>,
    /// What follows from the drawings on the body chart.
    pub chart: chart::ChartFacts,
    /// What follows from the results of sources, question by question.
    pub appraisal: appraisal::Appraisal,
    /// One row for everything that a reviewer goes through.
    pub dossier: dossier::Dossier,
    /// What each document rests on, and the digest to which a sign-off binds.
    pub currency: currency::Currency,
    /// The packs that build on another, with their bases.
    pub houses: Vec<house::House>,
    /// How much packs are like others.
    pub alike: Vec<house::likeness::Likeness>,
    /// The day for which states of sign-off hold.
    pub today: Date,
}

/// What follows from one protocol.
#[derive(Debug)]
pub struct ProtocolFacts {
    /// One for each step.
    pub steps: Vec<steps::StepFacts>,
    /// One for each home item.
    pub home: Vec<steps::StepFacts>,
    /// What adds up where.
    pub ledger: ledger::Ledger,
    /// When each step starts and ends.
    pub timeline: timeline::Timeline,
    /// Derived cautions, strongest first.
    pub cautions: Vec<cautions::Caution>,
    /// What conditions do together, strongest first.
    pub combinations: Vec<together::Combination>,
    /// Derived red flags, most urgent first.
    pub flags: flags::DerivedFlags,
    /// Cells of the intervention description.
    pub reporting: Vec<reporting::Cell>,
    /// How long the clinician presses with the thumb.
    pub thumb: mechanics::thumb::ThumbTime,
}

impl ProtocolFacts {
    /// With what a step or home item that is touched by a condition is done.
    pub fn technique_of(&self, hit: &cautions::Hit) -> Option<Idx<crate::model::docs::Technique>> {
        let list = if hit.home { &self.home } else { &self.steps };
        list.get(hit.step)?.technique
    }
}

/// Computes everything as it stands on a day.
pub fn compute(catalog: &Catalog, today: Date) -> Facts {
    let chart = chart::compute(catalog);
    let protocols: Vec<ProtocolFacts> =
        catalog.protocols.rows().par_iter().enumerate().map(|(i, p)| protocol(catalog, &chart, Idx::new(i), p)).collect();
    let sessions = catalog.sessions.rows().iter().map(|s| session::compute(catalog, s, &protocols)).collect();
    let appraisal = appraisal::compute(catalog);
    let dossier = dossier::compute(catalog, &protocols, &appraisal);
    let currency = currency::compute(catalog, &protocols);
    Facts { protocols, sessions, chart, appraisal, dossier, currency, houses: Vec::new(), alike: Vec::new(), today }
}

impl Facts {
    /// A pack beside its base, if it builds on one.
    pub fn house(&self, pack: Idx<crate::model::docs::Pack>) -> Option<&house::House> {
        self.houses.iter().find(|h| h.pack == pack)
    }

    /// Where a document stands on the day; `None` for what is signed with the documents that rest on it.
    pub fn state_of(&self, catalog: &Catalog, doc: DocRef) -> Option<State> {
        self.currency.sign_off(&catalog.name(doc)).map(|s| s.state(self.today))
    }

    /// The protocols that a protocol or session gives; `None` for any other document.
    pub fn treats(&self, doc: DocRef) -> Option<Vec<Idx<Protocol>>> {
        match doc.kind {
            Kind::Protocol => Some(vec![Idx::new(doc.row as usize)]),
            Kind::Session => self.sessions.get(doc.row as usize).map(|s| s.visit.parts.clone()),
            _ => None,
        }
    }

    /// Facts of a protocol.
    pub fn of(&self, protocol: Idx<Protocol>) -> &ProtocolFacts {
        &self.protocols[protocol.row()]
    }
}

fn protocol(catalog: &Catalog, chart: &chart::ChartFacts, own: Idx<Protocol>, protocol: &Protocol) -> ProtocolFacts {
    let steps = steps::of_protocol(catalog, chart, protocol);
    let home = steps::of_home(catalog, chart, protocol);
    let ledger = ledger::of_protocol(catalog, own, &steps, &home);
    let timeline = timeline::of_protocol(catalog, protocol, &steps);
    let mut cautions = cautions::of_protocol(catalog, &steps, &home);
    let combinations = together::of_protocol(catalog, protocol, &steps, &home);
    together::asked(&mut cautions, &combinations);
    let flags = flags::of_protocol(catalog, protocol, &steps, &home);
    let reporting = reporting::of_protocol(protocol, &steps);
    let thumb = mechanics::thumb::of_protocol(catalog, protocol, &steps);
    ProtocolFacts { steps, home, ledger, timeline, cautions, combinations, flags, reporting, thumb }
}

#[cfg(test)]
pub(crate) mod testing {
    //! Documents for the tests of this stage: the fixture pack, and single documents from text.

    use crate::load::decode::{self, Document};
    use crate::model::{Catalog, Idx, Kind};
    use crate::source::FileId;

    /// The day of all tests.
    pub const TODAY: jiff::civil::Date = jiff::civil::date(2026, 12, 1);

    /// The pack of the fixtures.
    pub fn base() -> Catalog {
        let root = std::path::PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/checks/base");
        let mut loaded = crate::load::load(&[root]).expect("the base pack can be read");
        crate::link::link(&mut loaded).0.expect("the base pack has a pack file")
    }

    /// Puts other content under a document; what was decoded stays.
    pub fn set_content(catalog: &mut Catalog, doc: crate::model::DocRef, content: crate::model::content::Content) {
        if let Some(head) = catalog.head_mut(doc) {
            head.content = content;
        }
    }

    /// A muscle that refers to no other document.
    pub fn muscle(text: &str) -> crate::model::docs::Muscle {
        match document(Kind::Muscle, text) {
            Document::Muscle(muscle) => *muscle,
            _ => unreachable!("a muscle was decoded"),
        }
    }

    /// A document that refers to no other.
    pub fn document(kind: Kind, text: &str) -> Document {
        let root = crate::load::yaml::parse(FileId(0), text).root.expect("is YAML");
        let mut reader = decode::Reader::new(FileId(0), text);
        let document = decode::document(kind, Idx::new(0), &mut reader, &root).expect("can be decoded");
        assert!(reader.findings.is_empty(), "{:?}", reader.findings);
        document
    }
}

//! From a tree that fits its schema to a typed document. One file for each group of kinds.
//!
//! Names of other documents stay names here. What a schema cannot say (a quantity that does not
//! parse, a unit of the wrong dimension, a region that is not on the list) is reported here, once.

mod audit;
mod bibliography;
mod change;
mod chart;
mod field;
mod measure;
mod mechanics;
mod muscle;
mod pack;
mod page;
mod protocol;
mod question;
mod safety;
mod source;
mod technique;

pub use field::Reader;
pub use page::page;

use crate::model::docs::{
    Audit, ChangeDoc, Condition, Flag, Measure, Muscle, Outcome, Pack, Page, Population, Position, Protocol, Question, Session, Source,
    Technique,
};
use crate::model::{Idx, Kind};

/// A decoded document of any kind.
pub enum Document {
    /// Pack file.
    Pack(Box<Pack>),
    /// Record of a reader.
    Audit(Box<Audit>),
    /// Change of a house pack.
    Change(Box<ChangeDoc>),
    /// Condition.
    Condition(Box<Condition>),
    /// Flag.
    Flag(Box<Flag>),
    /// Measure.
    Measure(Box<Measure>),
    /// Muscle.
    Muscle(Box<Muscle>),
    /// Outcome.
    Outcome(Box<Outcome>),
    /// Page.
    Page(Box<Page>),
    /// Population.
    Population(Box<Population>),
    /// Position.
    Position(Box<Position>),
    /// Protocol.
    Protocol(Box<Protocol>),
    /// Question.
    Question(Box<Question>),
    /// Session.
    Session(Box<Session>),
    /// Source.
    Source(Box<Source>),
    /// Technique.
    Technique(Box<Technique>),
}

/// Decodes a tree that passed its schema. Pages are not trees; see [`page()`].
pub fn document(kind: Kind, pack: Idx<Pack>, r: &mut Reader<'_>, root: &crate::source::Node) -> Option<Document> {
    let head = r.head(root, pack);
    Some(match kind {
        Kind::Pack => Document::Pack(Box::new(pack::pack(r, root, head))),
        Kind::Audit => Document::Audit(Box::new(audit::audit(r, root, head))),
        Kind::Change => Document::Change(Box::new(change::change(r, root, head))),
        Kind::Condition => Document::Condition(Box::new(safety::condition(r, root, head))),
        Kind::Flag => Document::Flag(Box::new(safety::flag(r, root, head))),
        Kind::Measure => Document::Measure(Box::new(measure::measure(r, root, head))),
        Kind::Muscle => Document::Muscle(Box::new(muscle::muscle(r, root, head))),
        Kind::Outcome => Document::Outcome(Box::new(question::outcome(r, root, head))),
        Kind::Page => return None,
        Kind::Population => Document::Population(Box::new(question::population(r, root, head))),
        Kind::Position => Document::Position(Box::new(technique::position(r, root, head))),
        Kind::Protocol => Document::Protocol(Box::new(protocol::protocol(r, root, head))),
        Kind::Question => Document::Question(Box::new(question::question(r, root, head))),
        Kind::Session => Document::Session(Box::new(protocol::session(r, root, head))),
        Kind::Source => Document::Source(Box::new(source::source(r, root, head))),
        Kind::Technique => Document::Technique(Box::new(technique::technique(r, root, head))),
    })
}

//! Parts that several kinds of document share.

use super::ClaimedEffect;
use super::Origin;
use super::Pack;
use super::Source;
use crate::model::content::Content;
use crate::model::evidence::Certainty;
use crate::model::ids::Idx;
use crate::model::ids::Ref;
use crate::model::motion::Coordinate;
use crate::model::quantity::Quantity;
use crate::model::region::Place;
use crate::model::region::Tag;
use crate::model::vocabulary::Basis;
use crate::model::vocabulary::Per;
use crate::model::vocabulary::Status;
use crate::model::vocabulary::Stressor;
use crate::source::FileId;
use crate::source::Span;
use crate::source::Spanned;
use crate::source::Text;

/// A quantity and where it stands.
pub type Amount = Spanned<Quantity>;

/// What every document has.
#[derive(Clone, Debug)]
pub struct Head {
    /// Id as written.
    pub id: Text,
    /// Its file.
    pub file: FileId,
    /// Its pack.
    pub pack: Idx<Pack>,
    /// Where it stands as far as it is typed in; approval never is.
    pub status: Option<Spanned<Status>>,
    /// Since when it is suspended or retired.
    pub since: Option<Spanned<jiff::civil::Date>>,
    /// Why it is suspended or retired.
    pub because: Option<Text>,
    /// Id of the document of the same kind that takes its place.
    pub successor: Option<Text>,
    /// Role that wrote it, where it is not that of the pack.
    pub author: Option<Text>,
    /// To be looked at again by this day.
    pub review_by: Option<Spanned<jiff::civil::Date>>,
    /// First key of the document, for labels about the whole.
    pub at: Span,
    /// What the document says, for digests and comparisons.
    pub content: Content,
    /// Where it comes from, in a pack that builds on another.
    pub origin: Origin,
}

/// What a value stands on.
#[derive(Clone, Debug, Default)]
pub struct Ground {
    /// Sources.
    pub cites: Vec<Cite>,
    /// Basis, where there is no source.
    pub basis: Option<Spanned<Basis>>,
}

impl Ground {
    /// True if nothing is said.
    pub fn is_silent(&self) -> bool {
        self.cites.is_empty() && self.basis.is_none()
    }
}

/// One citation.
#[derive(Clone, Debug)]
pub struct Cite {
    /// The source.
    pub source: Ref<Source>,
    /// Where in it.
    pub at: Option<Text>,
    /// The source in which it was read, if it was not opened itself.
    pub through: Option<Ref<Source>>,
    /// What it supports.
    pub supports: Option<Text>,
}

/// Regions as written, and the places they stand for.
#[derive(Clone, Debug, Default)]
pub struct Places {
    /// Each written item.
    pub written: Vec<Text>,
    /// All places.
    pub all: Vec<Place>,
}

/// A statement and what it stands on.
#[derive(Clone, Debug)]
pub struct Claim {
    /// The statement.
    pub text: Text,
    /// What it says about an effect.
    pub effect: Option<ClaimedEffect>,
    /// Stated certainty.
    pub certainty: Option<Spanned<Certainty>>,
    /// Why this certainty, where no question gives it.
    pub why: Option<Text>,
    /// Ground.
    pub ground: Ground,
}

/// A stop rule.
#[derive(Clone, Debug)]
pub struct StopRule {
    /// Sign.
    pub sign: Text,
    /// Threshold.
    pub at: Option<Text>,
    /// Action.
    pub act: Option<Text>,
    /// Exit.
    pub then: Option<Text>,
}

/// A dose limit.
#[derive(Clone, Debug)]
pub struct Limit {
    /// What is limited.
    pub stressor: Stressor,
    /// Over what.
    pub per: Per,
    /// The most.
    pub max: Option<Amount>,
    /// Only here; everywhere if both this and `tags` are empty.
    pub regions: Places,
    /// Only in regions with one of these.
    pub tags: Vec<Tag>,
    /// Why.
    pub why: Option<Text>,
    /// Ground.
    pub ground: Ground,
    /// Where it stands.
    pub span: Span,
}

/// Dose parameters as written.
#[derive(Clone, Debug, Default)]
pub struct Dose {
    /// Name and value of each.
    pub entries: Vec<DoseEntry>,
    /// Where the dose stands.
    pub span: Option<Span>,
}

/// One dose parameter.
#[derive(Clone, Debug)]
pub struct DoseEntry {
    /// Name.
    pub name: Text,
    /// Its value.
    pub value: DoseValue,
    /// Where the value stands.
    pub span: Span,
}

/// A value of a dose parameter.
#[derive(Clone, Debug)]
pub enum DoseValue {
    /// An amount.
    Amount(Quantity),
    /// A word.
    Word(Box<str>),
    /// Written, but not readable; already reported.
    Unreadable,
}

impl Dose {
    /// The entry of a name.
    pub fn entry(&self, name: &str) -> Option<&DoseEntry> {
        self.entries.iter().find(|e| &**e.name == name)
    }

    /// The amount of a name, if it was readable.
    pub fn amount(&self, name: &str) -> Option<&Quantity> {
        match &self.entry(name)?.value {
            DoseValue::Amount(q) => Some(q),
            _ => None,
        }
    }

    /// The word of a name.
    pub fn word(&self, name: &str) -> Option<&str> {
        match &self.entry(name)?.value {
            DoseValue::Word(w) => Some(w),
            _ => None,
        }
    }
}

/// An angle of a joint coordinate.
#[derive(Clone, Debug)]
pub struct JointAngle {
    /// Coordinate.
    pub coordinate: &'static Coordinate,
    /// Angle.
    pub angle: Amount,
    /// Where the coordinate is named.
    pub at: Span,
}

/// Where a step acts.
#[derive(Clone, Debug, Default)]
pub struct Target {
    /// Palpation point.
    pub point: Option<Spanned<u32>>,
    /// Regions.
    pub regions: Places,
    /// The whole muscle.
    pub muscle: bool,
    /// Where it stands.
    pub span: Option<Span>,
}

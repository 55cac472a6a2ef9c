//! Sources and measures.

use super::Amount;
use super::Bibliography;
use super::Dose;
use super::Ground;
use super::Head;
use crate::source::Spanned;
use crate::source::Text;

/// A publication.
#[derive(Clone, Debug)]
pub struct Source {
    /// Common part.
    pub head: Head,
    /// What identifies it.
    pub bibliography: Bibliography,
    /// Design.
    pub design: Text,
    /// Population, n, setting, comparator, follow-up, harms, funding, interests, registration, note.
    pub facts: Vec<(&'static str, Text)>,
    /// Arms with their doses.
    pub arms: Vec<Arm>,
    /// Outcomes.
    pub outcomes: Vec<Outcome>,
    /// Retraction status.
    pub retraction: Option<Text>,
    /// When it was looked up.
    pub retraction_checked: Option<Spanned<jiff::civil::Date>>,
    /// How far the entry was checked.
    pub seen: Option<Text>,
    /// What was read.
    pub seen_what: Option<Text>,
}

/// An arm.
#[derive(Clone, Debug)]
pub struct Arm {
    /// Name.
    pub name: Text,
    /// What was done.
    pub technique: Option<Text>,
    /// Dose; a word `not reported` where the source is silent.
    pub dose: Dose,
}

/// An outcome.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// Name.
    pub name: Text,
    /// Result.
    pub result: Text,
    /// Where.
    pub at: Option<Text>,
}

/// A measure.
#[derive(Clone, Debug)]
pub struct Measure {
    /// Common part.
    pub head: Head,
    /// Name.
    pub name: Text,
    /// Other names.
    pub other_names: Vec<Text>,
    /// What it measures.
    pub measures: Text,
    /// Unit.
    pub unit: Text,
    /// Bounds.
    pub bounds: Option<Amount>,
    /// How: label and text.
    pub how: Vec<(&'static str, Text)>,
    /// Anchors.
    pub anchors: Option<Text>,
    /// Errors.
    pub errors: Vec<MeasureError>,
    /// Meaningful changes.
    pub meaningful: Vec<Meaningful>,
    /// Licence.
    pub licence: Text,
    /// When to use.
    pub when: Option<Text>,
    /// Code.
    pub code: Option<Text>,
}

/// Measurement error in a population.
#[derive(Clone, Debug)]
pub struct MeasureError {
    /// Population.
    pub population: Text,
    /// SEM.
    pub sem: Option<Amount>,
    /// MDC.
    pub mdc: Option<Amount>,
    /// Confidence level in percent.
    pub level: Option<i64>,
    /// Note.
    pub note: Option<Text>,
    /// Ground.
    pub ground: Ground,
}

/// A meaningful change.
#[derive(Clone, Debug)]
pub struct Meaningful {
    /// Change.
    pub change: Option<Amount>,
    /// Anchor.
    pub anchor: Option<Text>,
    /// Population.
    pub population: Text,
    /// Ground.
    pub ground: Ground,
}

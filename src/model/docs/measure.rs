//! Outcome measures: how well repeated measuring agrees, its error, and the change that matters.

use super::Amount;
use super::Ground;
use super::Head;
use super::Outcome;
use super::Population;
use crate::model::ids::Ref;
use crate::model::interval::Interval;
use crate::model::vocabulary::Coefficient;
use crate::model::vocabulary::LicenceTerms;
use crate::model::vocabulary::Raters;
use crate::model::vocabulary::Stressor;
use crate::source::Span;
use crate::source::Spanned;
use crate::source::Text;

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
    /// The outcome that it measures.
    pub outcome: Option<Ref<Outcome>>,
    /// Unit.
    pub unit: Text,
    /// Bounds.
    pub bounds: Option<Amount>,
    /// How: label and text.
    pub how: Vec<(&'static str, Text)>,
    /// What taking it does to the body.
    pub loads: Vec<Spanned<Stressor>>,
    /// Anchors.
    pub anchors: Option<Text>,
    /// Agreement of repeated measuring.
    pub reliability: Vec<Reliability>,
    /// Errors.
    pub errors: Vec<MeasureError>,
    /// Meaningful changes.
    pub meaningful: Vec<Meaningful>,
    /// What a change in one person can show.
    pub in_one_person: Option<Text>,
    /// Licence.
    pub licence: Text,
    /// Whether items may be reprinted.
    pub licence_terms: Option<Spanned<LicenceTerms>>,
    /// When to use.
    pub when: Option<Text>,
    /// Code.
    pub code: Option<Text>,
}

/// Agreement of readings or of examiners.
#[derive(Clone, Debug)]
pub struct Reliability {
    /// The coefficient.
    pub kind: Coefficient,
    /// Value or range as written, in percent for percent agreement; `None` if it was not readable.
    pub value: Option<Spanned<Interval>>,
    /// Interval of 95 %.
    pub interval: Option<Spanned<Interval>>,
    /// Who is compared with whom.
    pub rater: Raters,
    /// In whom.
    pub population: Text,
    /// The same people as a document.
    pub who: Option<Ref<Population>>,
    /// Where on the body.
    pub site: Option<Text>,
    /// Note.
    pub note: Option<Text>,
    /// Ground.
    pub ground: Ground,
    /// Where it stands.
    pub span: Span,
}

/// Measurement error in a population.
#[derive(Clone, Debug)]
pub struct MeasureError {
    /// Population.
    pub population: Text,
    /// The same people as a document.
    pub who: Option<Ref<Population>>,
    /// Between which readings.
    pub rater: Option<Raters>,
    /// Where on the body.
    pub site: Option<Text>,
    /// Standard deviation between people.
    pub sd: Option<Amount>,
    /// Intraclass correlation that belongs to it.
    pub icc: Option<Spanned<Interval>>,
    /// SEM.
    pub sem: Option<Amount>,
    /// MDC.
    pub mdc: Option<Amount>,
    /// Confidence level in percent.
    pub level: Option<Spanned<i64>>,
    /// Why nothing is known.
    pub unknown: Option<Text>,
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
    /// The same people as a document.
    pub who: Option<Ref<Population>>,
    /// Ground.
    pub ground: Ground,
}

//! Measures.

use super::Amount;
use super::Ground;
use super::Head;
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

//! Sources.

use super::Dose;
use super::Head;
use crate::source::Span;
use crate::source::Spanned;
use crate::source::Text;

/// A publication.
#[derive(Clone, Debug)]
pub struct Source {
    /// Common part.
    pub head: Head,
    /// Title.
    pub title: Text,
    /// CSL type.
    pub kind: Text,
    /// Authors.
    pub authors: Vec<Text>,
    /// Year.
    pub year: Option<i64>,
    /// Where the year stands.
    pub year_at: Option<Span>,
    /// Journal or book, volume, issue, pages, publisher, place: what was given.
    pub imprint: Vec<(&'static str, Text)>,
    /// DOI.
    pub doi: Option<Text>,
    /// PubMed number.
    pub pmid: Option<Text>,
    /// ISBN.
    pub isbn: Option<Text>,
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

//! Questions, outcomes and populations: what is asked, about whom, and what the answer is worth.

use super::{Cite, Head, Measure, Source, Technique};
use crate::model::evidence::{Better, Certainty, Comparator, Direction, Domain, EffectMeasure, PooledInterval, Pooling};
use crate::model::ids::Ref;
use crate::source::{Span, Spanned, Text};

/// An outcome: one thing that can change.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// Common part.
    pub head: Head,
    /// Name.
    pub name: Text,
    /// Other names.
    pub other_names: Vec<Text>,
    /// Which way is better.
    pub better: Option<Better>,
    /// What it is, and what it is not.
    pub about: Text,
}

/// A group of people, inside a wider one or at the top.
#[derive(Clone, Debug)]
pub struct Population {
    /// Common part.
    pub head: Head,
    /// Name.
    pub name: Text,
    /// The wider group.
    pub within: Option<Ref<Population>>,
    /// Who belongs to it.
    pub about: Option<Text>,
}

/// A question whose results are gathered across sources.
#[derive(Clone, Debug)]
pub struct Question {
    /// Common part.
    pub head: Head,
    /// The question in one sentence.
    pub title: Text,
    /// In whom.
    pub who: Ref<Population>,
    /// What is done.
    pub intervention: Text,
    /// The technique of the pack that it is about.
    pub technique: Option<Ref<Technique>>,
    /// Compared with what.
    pub comparator: Option<Spanned<Comparator>>,
    /// What exactly, in words.
    pub compared_with: Option<Text>,
    /// The search.
    pub search: Search,
    /// Which studies count.
    pub include: Text,
    /// Outcomes, most important first.
    pub outcomes: Vec<Asked>,
    /// Markdown.
    pub notes: Option<Text>,
}

/// The search behind a question.
#[derive(Clone, Debug)]
pub struct Search {
    /// Last search.
    pub date: Option<Spanned<jiff::civil::Date>>,
    /// Where.
    pub places: Vec<Text>,
    /// How, and what it was not.
    pub how: Option<Text>,
}

/// One outcome of a question.
#[derive(Clone, Debug)]
pub struct Asked {
    /// Outcome.
    pub outcome: Ref<Outcome>,
    /// The measure that it is read with.
    pub measured_by: Option<Ref<Measure>>,
    /// `critical` or `important`.
    pub importance: Option<Text>,
    /// When.
    pub time: Option<Text>,
    /// Expressed how.
    pub measure: Option<Spanned<EffectMeasure>>,
    /// Spread between studies.
    pub pooling: Option<Spanned<Pooling>>,
    /// Interval.
    pub interval: Option<Spanned<PooledInterval>>,
    /// Why so few studies are pooled all the same.
    pub why_pooled: Option<Text>,
    /// The smallest effect that matters, as a distance from no effect, in the measure.
    pub matters: Option<Spanned<f64>>,
    /// Why this size.
    pub matters_why: Option<Text>,
    /// The results that are gathered.
    pub results: Vec<ResultRef>,
    /// Certainty.
    pub certainty: Rating,
    /// The answer in a sentence.
    pub statement: Option<Text>,
    /// Direction that the answer states.
    pub direction: Option<Spanned<Direction>>,
    /// Where it stands.
    pub span: Span,
}

/// A result of a source.
#[derive(Clone, Debug)]
pub struct ResultRef {
    /// The source.
    pub source: Ref<Source>,
    /// Its short name.
    pub result: Text,
    /// Its row in the results of the source; filled by `link`.
    pub row: Option<usize>,
}

/// Certainty as a person judged it.
#[derive(Clone, Debug)]
pub struct Rating {
    /// Level before any step.
    pub start: Option<Spanned<Certainty>>,
    /// Steps down and up.
    pub steps: Vec<RatingStep>,
    /// Level after them.
    pub result: Option<Spanned<Certainty>>,
    /// Where it stands.
    pub span: Span,
}

impl Rating {
    /// The level to which the steps lead.
    pub fn reckoned(&self) -> Option<Certainty> {
        let moves = self.steps.iter().map(|s| if s.domain.value.lowers() { -i32::from(s.steps) } else { i32::from(s.steps) });
        self.start.as_ref().map(|start| start.value.moved(moves.sum()))
    }

    /// Steps for a domain.
    pub fn steps_for(&self, domain: Domain) -> u8 {
        self.steps.iter().filter(|s| s.domain.value == domain).map(|s| s.steps).sum()
    }
}

/// A step down or up.
#[derive(Clone, Debug)]
pub struct RatingStep {
    /// Why it moves.
    pub domain: Spanned<Domain>,
    /// 0, 1 or 2; 0 records that the domain was judged and does not count.
    pub steps: u8,
    /// Reason.
    pub why: Option<Text>,
    /// Sources of the reason.
    pub cites: Vec<Cite>,
}

/// What a claim says about an effect.
#[derive(Clone, Debug)]
pub struct ClaimedEffect {
    /// On what.
    pub outcome: Ref<Outcome>,
    /// Which way.
    pub direction: Option<Spanned<Direction>>,
    /// In whom.
    pub who: Option<Ref<Population>>,
    /// Compared with what.
    pub comparator: Option<Spanned<Comparator>>,
    /// On what it rests.
    pub rests_on: Option<RestsOn>,
}

/// What a claim about an effect rests on.
#[derive(Clone, Debug)]
pub enum RestsOn {
    /// The outcome of a question.
    Question(Ref<Question>),
    /// One result of one source.
    Result(ResultRef),
}

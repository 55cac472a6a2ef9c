//! A source: what it is, how it was made, what it found at what dose, and how far it was checked.

use super::{Bibliography, Dose, Head, Outcome, Population as Who};
use crate::model::evidence::{Asks, Comparator, Design, Direction, Disclosure, EffectMeasure, HarmsStatus, Judgement, RetractionStatus};
use crate::model::ids::Ref;
use crate::source::{Span, Spanned, Text};

/// A source.
#[derive(Clone, Debug)]
pub struct Source {
    /// Common part.
    pub head: Head,
    /// What identifies it.
    pub bibliography: Bibliography,
    /// True if it was made up for a demonstration.
    pub invented: Option<Span>,
    /// Design.
    pub design: Option<Spanned<Design>>,
    /// Who was studied.
    pub who: Option<Ref<Who>>,
    /// How many people.
    pub n: Option<Spanned<u32>>,
    /// Population, setting, comparator, follow-up, registration, note, licence.
    pub facts: Vec<(&'static str, Text)>,
    /// Licence of quoted text.
    pub licence: Option<Text>,
    /// Level for a kind of question.
    pub level: Option<EvidenceLevel>,
    /// Arms with their doses.
    pub arms: Vec<Arm>,
    /// Results.
    pub results: Vec<StudyResult>,
    /// What the authors conclude.
    pub conclusions: Vec<Conclusion>,
    /// What else was read.
    pub findings: Vec<Finding>,
    /// Harms.
    pub harms: Option<Told<HarmsStatus>>,
    /// Funding.
    pub funding: Option<Told<Disclosure>>,
    /// Interests of the authors.
    pub interests: Option<Told<Disclosure>>,
    /// Judgements of bias.
    pub bias: Vec<RiskOfBias>,
    /// Trials inside a review.
    pub includes: Vec<Ref<Source>>,
    /// The study of which this is another report.
    pub part_of: Option<Ref<Source>>,
    /// Retraction status.
    pub retraction: Option<Spanned<RetractionStatus>>,
    /// When it was looked up.
    pub retraction_checked: Option<Spanned<jiff::civil::Date>>,
    /// What the notice says.
    pub retraction_notice: Option<Text>,
    /// How far the entry was checked.
    pub seen: Option<Text>,
    /// What was read.
    pub seen_what: Option<Text>,
}

impl Source {
    /// The arm of an id.
    pub fn arm(&self, id: &str) -> Option<&Arm> {
        self.arms.iter().find(|a| &*a.id.value == id)
    }

    /// True if it was made up for a demonstration.
    pub fn is_invented(&self) -> bool {
        self.invented.is_some()
    }

    /// The judgement of bias that covers a result: one that names it, else one that names none.
    pub fn bias_of(&self, result: &StudyResult) -> Option<&RiskOfBias> {
        let names = |b: &&RiskOfBias| b.results.iter().any(|r| r.value == result.id.value);
        self.bias.iter().find(names).or_else(|| self.bias.iter().find(|b| b.results.is_empty()))
    }
}

/// A closed word with what was said about it.
#[derive(Clone, Debug)]
pub struct Told<T> {
    /// The word.
    pub status: Spanned<T>,
    /// In words.
    pub what: Option<Text>,
}

/// A level of evidence for a kind of question (OCEBM 2011). It is no certainty.
#[derive(Clone, Debug)]
pub struct EvidenceLevel {
    /// 1 to 5.
    pub number: Spanned<u32>,
    /// For what.
    pub asks: Asks,
}

/// An arm.
#[derive(Clone, Debug)]
pub struct Arm {
    /// Short name inside the source.
    pub id: Text,
    /// Name.
    pub name: Text,
    /// People put into it.
    pub n: Option<Spanned<u32>>,
    /// People whose results count.
    pub analysed: Option<Spanned<u32>>,
    /// People lost.
    pub lost: Option<Spanned<u32>>,
    /// What was done.
    pub technique: Option<Text>,
    /// Dose; a word `not reported` where the source is silent.
    pub dose: Dose,
}

/// One result for one outcome. The first arm is the treated one, the second the comparator.
#[derive(Clone, Debug)]
pub struct StudyResult {
    /// Short name inside the source.
    pub id: Text,
    /// Outcome.
    pub outcome: Ref<Outcome>,
    /// Arms by id.
    pub arms: Vec<Text>,
    /// Compared with what.
    pub comparator: Option<Spanned<Comparator>>,
    /// Who, where it differs from the source.
    pub who: Option<Ref<Who>>,
    /// When it was measured.
    pub time: Option<Text>,
    /// Unit of the numbers.
    pub unit: Option<Text>,
    /// Where in the source.
    pub at: Option<Text>,
    /// In words.
    pub words: Option<Text>,
    /// What the numbers or the words come to, where the source says so.
    pub found: Option<Spanned<Direction>>,
    /// The numbers.
    pub data: Data,
    /// What the source prints as effect.
    pub printed: Option<Printed>,
    /// Where the result stands.
    pub span: Span,
}

/// Numbers of a result.
#[derive(Clone, Debug)]
pub enum Data {
    /// Mean and spread of two groups.
    Means([GroupMean; 2]),
    /// Events in two groups.
    Counts([GroupCount; 2]),
    /// Change of one group.
    Change(Change),
    /// Correlation.
    Correlation {
        /// People.
        n: Spanned<f64>,
        /// Coefficient.
        r: Spanned<f64>,
    },
    /// Share of one group.
    Share(GroupCount),
    /// Only the effect is given, as in a review.
    Estimate(Printed),
    /// Words only.
    Words,
}

/// A group with its mean.
#[derive(Clone, Debug)]
pub struct GroupMean {
    /// People.
    pub n: Spanned<f64>,
    /// Mean.
    pub mean: Spanned<f64>,
    /// Spread.
    pub spread: Spread,
    /// Where the group stands.
    pub span: Span,
}

/// Spread as the source gives it.
#[derive(Clone, Debug)]
pub enum Spread {
    /// Standard deviation.
    Sd(Spanned<f64>),
    /// Standard error.
    Se(Spanned<f64>),
    /// Not given.
    Missing,
}

impl GroupMean {
    /// Standard deviation, from the standard error where only that is given.
    pub fn sd(&self) -> Option<f64> {
        match &self.spread {
            Spread::Sd(sd) => Some(sd.value),
            Spread::Se(se) => Some(se.value * self.n.value.sqrt()),
            Spread::Missing => None,
        }
    }
}

/// A group with its events.
#[derive(Clone, Debug)]
pub struct GroupCount {
    /// Events.
    pub events: Spanned<f64>,
    /// People.
    pub n: Spanned<f64>,
    /// Percent as the source prints it.
    pub percent: Option<Spanned<f64>>,
    /// Where the group stands.
    pub span: Span,
}

/// Change of one group.
#[derive(Clone, Debug)]
pub struct Change {
    /// People.
    pub n: Spanned<f64>,
    /// Mean before.
    pub before: Spanned<f64>,
    /// Mean after.
    pub after: Spanned<f64>,
    /// Standard deviation of the change.
    pub sd_change: Option<Spanned<f64>>,
    /// Standard deviation before.
    pub sd_before: Option<Spanned<f64>>,
    /// Standard deviation after.
    pub sd_after: Option<Spanned<f64>>,
    /// Correlation of before and after.
    pub r: Option<Spanned<f64>>,
}

/// An effect as printed.
#[derive(Clone, Debug)]
pub struct Printed {
    /// Expressed how.
    pub measure: Spanned<EffectMeasure>,
    /// Value.
    pub value: Spanned<f64>,
    /// The value as written, for its digits.
    pub written: Text,
    /// Interval.
    pub interval: Option<[Spanned<f64>; 2]>,
    /// The ends as written.
    pub ends: Option<[Text; 2]>,
    /// Level of the interval in percent; 95 if nothing is said.
    pub level: Option<Spanned<f64>>,
    /// p value.
    pub p: Option<PValue>,
    /// Studies in it.
    pub studies: Option<Spanned<u32>>,
    /// People in it.
    pub people: Option<Spanned<u32>>,
    /// I2 in percent.
    pub i2: Option<Spanned<f64>>,
    /// Where it stands.
    pub span: Span,
}

/// A p value: exact, or an upper bound.
#[derive(Clone, Debug)]
pub struct PValue {
    /// The number.
    pub value: f64,
    /// True for `< 0.001`.
    pub below: bool,
    /// As written.
    pub written: Text,
}

/// What the authors conclude.
#[derive(Clone, Debug)]
pub struct Conclusion {
    /// In words.
    pub words: Text,
    /// Where.
    pub at: Option<Text>,
    /// About which outcome.
    pub outcome: Option<Ref<Outcome>>,
    /// Which way.
    pub found: Option<Spanned<Direction>>,
    /// The arm that they recommend.
    pub arm: Option<Text>,
}

/// Something that was read and is no comparison.
#[derive(Clone, Debug)]
pub struct Finding {
    /// What it is about.
    pub name: Text,
    /// What was found.
    pub result: Text,
    /// Where.
    pub at: Option<Text>,
}

/// Judgements of bias for one or all results.
#[derive(Clone, Debug)]
pub struct RiskOfBias {
    /// Instrument.
    pub tool: Text,
    /// Results that it is about; all if empty.
    pub results: Vec<Text>,
    /// One for each domain.
    pub domains: Vec<BiasDomain>,
    /// Overall.
    pub overall: Spanned<Judgement>,
    /// Why the overall judgement differs from the worst domain.
    pub why: Option<Text>,
    /// Who judged, by role.
    pub by: Option<Text>,
}

/// One domain of bias.
#[derive(Clone, Debug)]
pub struct BiasDomain {
    /// Domain.
    pub domain: Text,
    /// Judgement.
    pub judgement: Spanned<Judgement>,
    /// Reason.
    pub why: Text,
}

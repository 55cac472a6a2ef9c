//! Conditions and red flags.

use super::Dose;
use super::Ground;
use super::Head;
use super::Places;
use super::Technique;
use crate::model::ids::Ref;
use crate::model::vocabulary::Strength;
use crate::model::vocabulary::Stressor;
use crate::model::vocabulary::Urgency;
use crate::source::Span;
use crate::source::Spanned;
use crate::source::Text;

/// A row of a condition's matrix.
#[derive(Clone, Debug)]
pub struct Rule {
    /// Stressor.
    pub stressor: Stressor,
    /// Strength.
    pub strength: Strength,
    /// Where the strength stands.
    pub strength_at: Span,
    /// Where; everywhere if empty.
    pub regions: Places,
    /// Numbers of a limit.
    pub max: Dose,
    /// Technique instead.
    pub instead: Option<Ref<Technique>>,
    /// Why.
    pub why: Option<Text>,
    /// Where it stands.
    pub span: Span,
}

/// What holds besides for a person who has a condition and one of some others.
#[derive(Clone, Debug)]
pub struct Together {
    /// The others: one of them is enough.
    pub with: Vec<Ref<Condition>>,
    /// Rows.
    pub rules: Vec<Rule>,
    /// Reason.
    pub reason: Text,
    /// Where it stands.
    pub span: Span,
}

/// A condition.
#[derive(Clone, Debug)]
pub struct Condition {
    /// Common part.
    pub head: Head,
    /// Name.
    pub name: Text,
    /// Other names.
    pub other_names: Vec<Text>,
    /// Question.
    pub question: Option<Text>,
    /// What to look for.
    pub look_for: Option<Text>,
    /// `local` or `general`.
    pub scope: Option<Text>,
    /// Rows.
    pub rules: Vec<Rule>,
    /// Where the rows stand.
    pub rules_at: Span,
    /// Together with other conditions. A pair is written at one of the two and holds for both.
    pub together: Vec<Together>,
    /// Reason.
    pub reason: Text,
    /// Techniques that stay possible.
    pub allows: Vec<Ref<Technique>>,
    /// Who may clear it.
    pub clears: Option<Text>,
    /// `permanent` or `time-bound`.
    pub lasts: Option<Text>,
    /// When it ends.
    pub until: Option<Text>,
    /// Ground.
    pub ground: Ground,
}

impl Condition {
    /// Its own rows, and those that hold together with others.
    pub fn all_rules(&self) -> impl Iterator<Item = &Rule> {
        self.rules.iter().chain(self.together.iter().flat_map(|t| &t.rules))
    }
}

/// A red flag.
#[derive(Clone, Debug)]
pub struct Flag {
    /// Common part.
    pub head: Head,
    /// Name.
    pub name: Text,
    /// Topics.
    pub covers: Vec<Text>,
    /// Presentation.
    pub presentation: Text,
    /// Question.
    pub question: Text,
    /// Sign.
    pub sign: Option<Text>,
    /// Regions.
    pub regions: Places,
    /// Urgency as written.
    pub urgency_written: Text,
    /// Urgency, if it is a tier.
    pub urgency: Option<Urgency>,
    /// Destination.
    pub destination: Option<Text>,
    /// `stop`.
    pub treatment: Text,
    /// Meanwhile.
    pub meanwhile: Text,
    /// Say.
    pub say: Option<Text>,
    /// Write down.
    pub write: Option<Text>,
    /// Safety net.
    pub safety_net: Option<Text>,
    /// Year of the guidance.
    pub guidance_year: Option<Spanned<i64>>,
    /// When the guidance was looked up.
    pub guidance_checked: Option<Spanned<jiff::civil::Date>>,
    /// Ground.
    pub ground: Ground,
}

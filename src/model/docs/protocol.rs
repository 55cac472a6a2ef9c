//! Protocols and sessions.

use super::Amount;
use super::Claim;
use super::Condition;
use super::Dose;
use super::Flag;
use super::Ground;
use super::Head;
use super::JointAngle;
use super::Measure;
use super::Muscle;
use super::Population;
use super::Position;
use super::StepSweep;
use super::StopRule;
use super::Target;
use super::Technique;
use crate::model::ids::Ref;
use crate::model::motion::Motion;
use crate::model::vocabulary::Stressor;
use crate::source::Span;
use crate::source::Spanned;
use crate::source::Text;

/// A branch.
#[derive(Clone, Debug)]
pub struct Branch {
    /// When.
    pub when: Option<Text>,
    /// Where to.
    pub go: Option<Text>,
    /// At most how often.
    pub up_to: Option<Amount>,
    /// Where it stands.
    pub span: Span,
}

/// A step.
#[derive(Clone, Debug)]
pub struct Step {
    /// Number.
    pub number: Spanned<u32>,
    /// One action.
    pub action: Text,
    /// Technique.
    pub technique: Ref<Technique>,
    /// Target.
    pub target: Target,
    /// Position.
    pub position: Option<Ref<Position>>,
    /// Exposure state.
    pub exposure: Option<Text>,
    /// Dose.
    pub dose: Dose,
    /// Monitoring.
    pub monitoring: Option<Text>,
    /// Stop rules on top of the technique's.
    pub stop: Vec<StopRule>,
    /// Success.
    pub success: Option<Text>,
    /// Branch.
    pub then: Option<Branch>,
    /// Measure.
    pub measure: Option<Ref<Measure>>,
    /// `baseline` or `re-test`.
    pub when: Option<Text>,
    /// How it is taken here.
    pub taken: Taken,
    /// The change that counts as reached.
    pub goal: Option<Goal>,
    /// Why an error found in other people may stand for these.
    pub borrowed: Option<Text>,
    /// Resisted action.
    pub resists: Option<Spanned<Motion>>,
    /// Joint angles on top of the position.
    pub joints: Vec<JointAngle>,
    /// Support.
    pub support: Option<Text>,
    /// How it moves over the skin.
    pub sweep: Option<StepSweep>,
    /// Ground of the dose.
    pub ground: Ground,
    /// Where the step stands.
    pub span: Span,
}

/// How a measure is taken in a step, where that differs from the measure.
#[derive(Clone, Debug, Default)]
pub struct Taken {
    /// Instrument.
    pub instrument: Option<Text>,
    /// Readings.
    pub repeats: Option<Text>,
    /// Who takes it.
    pub rater: Option<Text>,
}

/// The change that a re-test should reach.
#[derive(Clone, Debug)]
pub struct Goal {
    /// Least change.
    pub change: Option<Amount>,
    /// `same visit` or `course`.
    pub over: Text,
    /// Ground.
    pub ground: Ground,
}

/// A home item.
#[derive(Clone, Debug)]
pub struct HomeItem {
    /// Name.
    pub name: Text,
    /// What the person does.
    pub action: Text,
    /// Technique.
    pub technique: Ref<Technique>,
    /// Target.
    pub target: Target,
    /// Dose.
    pub dose: Dose,
    /// Times a day.
    pub per_day: Option<Amount>,
    /// Days a week.
    pub days: Option<Amount>,
    /// Weeks.
    pub weeks: Option<Amount>,
    /// Stop rules.
    pub stop: Vec<StopRule>,
    /// Joint angles at the end of the movement.
    pub joints: Vec<JointAngle>,
    /// First check.
    pub first_check: Option<Text>,
    /// Keys that were written, readable or not.
    pub keys: Vec<Text>,
    /// Ground.
    pub ground: Ground,
    /// Where it stands.
    pub span: Span,
}

/// Who a protocol is for.
#[derive(Clone, Debug, Default)]
pub struct ForWhom {
    /// For, not for, capacity: label and text.
    pub words: Vec<(&'static str, Text)>,
    /// The same people as a document.
    pub who: Option<Ref<Population>>,
    /// Ages.
    pub ages: Option<Amount>,
    /// `included` or `excluded`.
    pub pregnancy: Option<Text>,
    /// Conditions that put a person outside.
    pub excludes: Vec<Ref<Condition>>,
    /// Where it stands.
    pub span: Option<Span>,
}

/// Session spacing.
#[derive(Clone, Debug, Default)]
pub struct Spacing {
    /// Between sessions.
    pub gap: Option<Amount>,
    /// A week.
    pub per_week: Option<Amount>,
    /// In a course.
    pub sessions: Option<Amount>,
    /// Decision after.
    pub decide_after: Option<Amount>,
    /// How it is decided.
    pub decide: Option<Text>,
    /// Keys that were written, readable or not.
    pub keys: Vec<Text>,
    /// Ground.
    pub ground: Ground,
    /// Where it stands.
    pub span: Option<Span>,
}

/// A referral restated in a protocol.
#[derive(Clone, Debug)]
pub struct Restated {
    /// Flag.
    pub flag: Ref<Flag>,
    /// Urgency.
    pub urgency: Option<Text>,
    /// Destination.
    pub destination: Option<Text>,
    /// Note.
    pub note: Option<Text>,
}

/// Label of the words that say whom a protocol is not for.
pub const NOT_FOR: &str = "Not for";

/// Label of the words and signs by which a person stops the treatment.
pub const SAYS_STOP: &str = "How to say stop";

/// A protocol.
#[derive(Clone, Debug)]
pub struct Protocol {
    /// Common part.
    pub head: Head,
    /// Title.
    pub title: Text,
    /// Muscle.
    pub muscle: Ref<Muscle>,
    /// Side.
    pub side: Text,
    /// Population.
    pub population: ForWhom,
    /// Aim.
    pub aim: Text,
    /// Rationale.
    pub rationale: Vec<Claim>,
    /// Mode.
    pub mode: Option<Text>,
    /// Setting.
    pub setting: Option<Text>,
    /// Appointment.
    pub appointment: Option<Amount>,
    /// Equipment.
    pub equipment: Vec<Text>,
    /// Allergens.
    pub allergens: Option<Text>,
    /// Consent script: label and text.
    pub consent: Vec<(&'static str, Text)>,
    /// Chaperone, draping, record: label and text.
    pub sensitive: Vec<(&'static str, Text)>,
    /// Steps.
    pub steps: Vec<Step>,
    /// Home programme.
    pub home: Vec<HomeItem>,
    /// Spacing.
    pub spacing: Spacing,
    /// After-care.
    pub aftercare: Vec<Text>,
    /// When to change the plan.
    pub change_plan: Option<Text>,
    /// Restated referrals.
    pub refer: Vec<Restated>,
    /// Cautions typed by hand.
    pub cautions: Vec<Text>,
    /// Stated totals.
    pub totals: Vec<(Spanned<Stressor>, Amount)>,
    /// Tailoring.
    pub tailoring: Option<Text>,
    /// Modifications.
    pub modifications: Option<Text>,
    /// Audit: planned.
    pub audit_planned: Option<Text>,
    /// Audit: actual.
    pub audit_actual: Option<Text>,
    /// Evidence.
    pub evidence: Vec<Claim>,
    /// Leaflet, Markdown.
    pub leaflet: Option<Text>,
    /// What to record.
    pub record: Vec<Text>,
    /// Notes, Markdown.
    pub notes: Option<Text>,
}

/// Several protocols in one appointment.
#[derive(Clone, Debug)]
pub struct Session {
    /// Common part.
    pub head: Head,
    /// Title.
    pub title: Text,
    /// Protocols.
    pub protocols: Vec<Ref<Protocol>>,
    /// Appointment.
    pub appointment: Option<Amount>,
    /// `as listed` or `fewest turns`.
    pub order: Option<Text>,
    /// Note.
    pub note: Option<Text>,
}

impl Session {
    /// True if the protocols are to follow each other as they are listed, whatever turns that takes.
    pub fn as_listed(&self) -> bool {
        self.order.as_ref().is_some_and(|o| &*o.value == "as listed")
    }
}

impl Protocol {
    /// Whom it is not for, in the author's words.
    pub fn not_for(&self) -> Option<&Text> {
        self.population.words.iter().find(|(label, _)| *label == NOT_FOR).map(|(_, said)| said)
    }
}

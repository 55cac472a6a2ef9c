//! Typed documents, one struct for each kind and its parts.
//!
//! Public fields, no behaviour beyond small lookups, no messages. A field is `None` where nothing
//! was written or where what was written was already reported.

use super::ids::{Idx, Ref};
use super::motion::{Coordinate, Motion};
use super::quantity::Quantity;
use super::region::{Place, Tag};
use super::vocabulary::{Basis, Per, Role, Strength, Stressor, Urgency};
use crate::source::{FileId, Span, Spanned, Text};

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
    /// `draft` or `in review`; approval is never typed in.
    pub status: Option<Text>,
    /// To be looked at again by this day.
    pub review_by: Option<Spanned<jiff::civil::Date>>,
    /// First key of the document, for labels about the whole.
    pub at: Span,
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
    /// Stated certainty.
    pub certainty: Option<Text>,
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
}

/// `pack.yaml`.
#[derive(Clone, Debug)]
pub struct Pack {
    /// Common part; `pack` points at itself.
    pub head: Head,
    /// Title.
    pub title: Text,
    /// Edition.
    pub edition: Text,
    /// Language tag.
    pub language: Text,
    /// Country.
    pub jurisdiction: Text,
    /// SPDX expression.
    pub licence: Text,
    /// Notice for every page and card.
    pub notice: Text,
    /// Banner of a demonstration.
    pub demonstration: Option<Text>,
    /// Scope in words.
    pub practice: Option<Text>,
    /// Training levels in scope.
    pub training: Vec<Text>,
    /// Special authorisations held.
    pub authorisations: Vec<Text>,
    /// Longest time between reviews.
    pub review_interval: Option<Amount>,
    /// Roles that may approve.
    pub roles: Vec<Text>,
    /// Appointment length.
    pub appointment: Option<Amount>,
    /// Emergency number.
    pub emergency: Option<Text>,
    /// Ground of the number.
    pub emergency_ground: Ground,
    /// Destinations by role.
    pub destinations: Vec<Destination>,
    /// House ceiling on pain.
    pub pain_cap: Option<Amount>,
    /// Time for a turn.
    pub turn: Option<Amount>,
    /// Time for notes.
    pub notes_time: Option<Amount>,
    /// House limits.
    pub limits: Vec<Limit>,
    /// Ground of the house numbers.
    pub house_ground: Ground,
    /// Raised levels.
    pub levels: Vec<Raise>,
    /// Findings let through.
    pub waivers: Vec<Waiver>,
    /// Words that must not appear.
    pub protected_words: Vec<Text>,
    /// Open questions.
    pub open_questions: Vec<Text>,
}

/// A destination.
#[derive(Clone, Debug)]
pub struct Destination {
    /// Role id.
    pub id: Text,
    /// Name.
    pub name: Text,
    /// How to reach it.
    pub how: Text,
}

/// A raised level.
#[derive(Clone, Debug)]
pub struct Raise {
    /// Check.
    pub check: Text,
    /// `error` or `warning`.
    pub level: Text,
    /// Reason.
    pub reason: Text,
    /// Who decided.
    pub role: Text,
    /// Last day.
    pub until: Option<Spanned<jiff::civil::Date>>,
}

/// A finding let through for a time.
#[derive(Clone, Debug)]
pub struct Waiver {
    /// Check.
    pub check: Text,
    /// Document as `folder/id`.
    pub document: Text,
    /// Place in it.
    pub pointer: Option<Text>,
    /// Reason.
    pub reason: Text,
    /// Who decided.
    pub role: Text,
    /// Last day.
    pub until: Option<Spanned<jiff::civil::Date>>,
}

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

/// A muscle.
#[derive(Clone, Debug)]
pub struct Muscle {
    /// Common part.
    pub head: Head,
    /// Name.
    pub name: Text,
    /// Latin name.
    pub latin: Text,
    /// Other names.
    pub other_names: Vec<Text>,
    /// Misspellings.
    pub misspellings: Vec<Text>,
    /// Skin over it.
    pub regions: Places,
    /// Attachments: end, text, landmarks, ground.
    pub attachments: Vec<Attachment>,
    /// Actions.
    pub actions: Vec<Action>,
    /// Joints crossed.
    pub joints: Vec<Text>,
    /// Nerve.
    pub nerve: Option<Text>,
    /// Segments.
    pub segments: Vec<Text>,
    /// Ground of the nerve supply.
    pub nerve_ground: Ground,
    /// Fibre direction.
    pub fibres: Option<Text>,
    /// Ground of the fibre direction.
    pub fibres_ground: Ground,
    /// Layer.
    pub layer: Option<Text>,
    /// Neighbours.
    pub neighbours: Vec<Neighbour>,
    /// Hazards.
    pub hazards: Vec<NearHazard>,
    /// Palpation.
    pub palpation: Palpation,
    /// Points.
    pub points: Vec<Point>,
    /// Notes, Markdown.
    pub notes: Option<Text>,
}

/// One end of a muscle.
#[derive(Clone, Debug)]
pub struct Attachment {
    /// `proximal` or `distal`.
    pub end: &'static str,
    /// In words.
    pub text: Text,
    /// Landmarks.
    pub landmarks: Vec<Text>,
    /// Ground.
    pub ground: Ground,
}

/// An action.
#[derive(Clone, Debug)]
pub struct Action {
    /// Movement.
    pub motion: Option<Spanned<Motion>>,
    /// Note.
    pub note: Option<Text>,
    /// Ground.
    pub ground: Ground,
    /// Where it stands.
    pub span: Span,
}

/// A neighbour to tell apart.
#[derive(Clone, Debug)]
pub struct Neighbour {
    /// Name.
    pub name: Text,
    /// Document, if there is one.
    pub muscle: Option<Ref<Muscle>>,
    /// How to tell them apart.
    pub tell_apart: Text,
}

/// A hazard near a muscle.
#[derive(Clone, Debug)]
pub struct NearHazard {
    /// What.
    pub text: Text,
    /// Where.
    pub regions: Places,
    /// Ground.
    pub ground: Ground,
    /// Where it stands.
    pub span: Span,
}

/// How a muscle is palpated.
#[derive(Clone, Debug, Default)]
pub struct Palpation {
    /// Method.
    pub method: Option<Text>,
    /// Position.
    pub position: Option<Ref<Position>>,
    /// How to make it stand out.
    pub stand_out: Option<Text>,
    /// The action that is resisted.
    pub resists: Option<Spanned<Motion>>,
    /// What normal feels like.
    pub normal: Option<Text>,
    /// Ground.
    pub ground: Ground,
}

/// A palpation point.
#[derive(Clone, Debug)]
pub struct Point {
    /// Number.
    pub number: Spanned<u32>,
    /// From which landmark.
    pub from: Option<Text>,
    /// In which direction.
    pub direction: Option<Text>,
    /// How far.
    pub distance: Option<Amount>,
    /// How deep.
    pub depth: Option<Text>,
    /// Region.
    pub region: Places,
    /// Grip.
    pub grip: Option<Text>,
    /// Direction of pressure.
    pub pressure: Option<Text>,
    /// Signs.
    pub confirms: Vec<Sign>,
    /// Zone.
    pub zone: Option<Zone>,
    /// Hazard.
    pub hazard: Option<Text>,
    /// Leave at once if.
    pub stop: Option<Text>,
    /// Where the landmark wording stands, or the number.
    pub landmark_at: Span,
}

/// A sign that confirms a point.
#[derive(Clone, Debug)]
pub struct Sign {
    /// Sign.
    pub sign: Text,
    /// Note.
    pub note: Option<Text>,
    /// Ground.
    pub ground: Ground,
}

/// A pain-referral zone.
#[derive(Clone, Debug)]
pub struct Zone {
    /// Core.
    pub core: Places,
    /// Spread.
    pub spread: Places,
    /// Share of people.
    pub share: Option<Text>,
    /// Ground.
    pub ground: Ground,
    /// Where it stands.
    pub span: Span,
}

/// A technique.
#[derive(Clone, Debug)]
pub struct Technique {
    /// Common part.
    pub head: Head,
    /// Name.
    pub name: Text,
    /// Other names.
    pub other_names: Vec<Text>,
    /// Aim.
    pub aim: Text,
    /// Role.
    pub role: Role,
    /// Exposures.
    pub exposes: Vec<Exposes>,
    /// Parameters.
    pub parameters: Vec<Parameter>,
    /// Duration of a step: sum of products.
    pub takes: Vec<Term>,
    /// Set-up time.
    pub set_up: Option<Amount>,
    /// Least useful totals.
    pub least: Vec<(Spanned<Stressor>, Amount)>,
    /// Contact.
    pub contact: Vec<Text>,
    /// Training.
    pub training: Text,
    /// Authorisation.
    pub authorisation: Option<Text>,
    /// Equipment.
    pub equipment: Vec<Text>,
    /// Allergens.
    pub allergens: Option<Text>,
    /// Body mechanics, cue, breathing: label and text.
    pub manner: Vec<(&'static str, Text)>,
    /// Monitoring.
    pub monitoring: Option<Text>,
    /// How often.
    pub monitoring_every: Option<Amount>,
    /// Start criteria.
    pub start: Vec<Text>,
    /// Stop rules.
    pub stop: Vec<StopRule>,
    /// Order rules.
    pub order: Vec<OrderRule>,
    /// Limits.
    pub limits: Vec<Limit>,
    /// Least time between sessions.
    pub recovery: Option<Amount>,
    /// After-effects.
    pub after_effects: Option<Text>,
    /// How long they last.
    pub after_effects_last: Option<Amount>,
    /// Harms.
    pub harms: Vec<Claim>,
    /// If it goes wrong.
    pub if_wrong: Text,
    /// Notes, Markdown.
    pub notes: Option<Text>,
    /// Ground.
    pub ground: Ground,
}

impl Technique {
    /// The parameter of a name.
    pub fn parameter(&self, name: &str) -> Option<&Parameter> {
        self.parameters.iter().find(|p| &**p.name == name)
    }

    /// True if it exposes the body to `stressor`.
    pub fn has(&self, stressor: Stressor) -> bool {
        self.exposes.iter().any(|e| e.stressor == stressor)
    }
}

/// How a technique loads the body.
#[derive(Clone, Debug)]
pub struct Exposes {
    /// Stressor.
    pub stressor: Stressor,
    /// Parameters whose product adds up.
    pub total: Vec<Text>,
    /// Parameter of the peak.
    pub peak: Option<Text>,
    /// How long the skin is to be treated as numb.
    pub numbs_for: Option<Amount>,
    /// Where it stands.
    pub span: Span,
}

/// A dose parameter.
#[derive(Clone, Debug)]
pub struct Parameter {
    /// Name.
    pub name: Text,
    /// Allowed amounts.
    pub allowed: Option<Amount>,
    /// Allowed words.
    pub words: Vec<Text>,
    /// Must every step state it.
    pub required: bool,
    /// Meaning.
    pub means: Option<Text>,
    /// Ground.
    pub ground: Ground,
}

/// A product of parameters.
#[derive(Clone, Debug)]
pub struct Term {
    /// Multiplied.
    pub times: Vec<Text>,
    /// Divided by.
    pub over: Vec<Text>,
}

/// What an order rule is about.
#[derive(Clone, Debug)]
pub enum Towards {
    /// A technique.
    Technique(Ref<Technique>),
    /// Any technique with this stressor.
    Stressor(Stressor),
}

/// How two steps must stand to each other.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Comes {
    /// After the other, if both are there.
    After,
    /// Before the other, if both are there.
    Before,
    /// The other must have come before.
    OnlyAfter,
    /// With a gap.
    Apart,
}

/// An ordering rule.
#[derive(Clone, Debug)]
pub struct OrderRule {
    /// How.
    pub comes: Comes,
    /// Towards what; `None` if neither was written.
    pub towards: Option<Towards>,
    /// Gap.
    pub gap: Option<Amount>,
    /// Holds whatever the region.
    pub anywhere: bool,
    /// Why.
    pub why: Text,
    /// Where it stands.
    pub span: Span,
}

/// A position.
#[derive(Clone, Debug)]
pub struct Position {
    /// Common part.
    pub head: Head,
    /// Name.
    pub name: Text,
    /// How to set it up.
    pub how: Text,
    /// Joint angles.
    pub joints: Vec<JointAngle>,
    /// Supports.
    pub supports: Vec<Text>,
    /// Bare and reachable.
    pub exposed: Places,
    /// Drape.
    pub drape: Text,
    /// Under body weight.
    pub bears_weight: Places,
    /// Who must not lie so.
    pub barred_by: Vec<(Ref<Condition>, Text)>,
    /// In, out, airway: label and text.
    pub handling: Vec<(&'static str, Text)>,
    /// Longest time.
    pub time_limit: Option<Amount>,
    /// A joint is at end range or a part hangs free.
    pub end_range: bool,
    /// Ground.
    pub ground: Ground,
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
    /// Resisted action.
    pub resists: Option<Spanned<Motion>>,
    /// Joint angles on top of the position.
    pub joints: Vec<JointAngle>,
    /// Support.
    pub support: Option<Text>,
    /// Ground of the dose.
    pub ground: Ground,
    /// Where the step stands.
    pub span: Span,
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
pub struct Population {
    /// For, not for, capacity: label and text.
    pub words: Vec<(&'static str, Text)>,
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
    pub population: Population,
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
    /// In combination.
    pub with: Option<Text>,
    /// Ground.
    pub ground: Ground,
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
    /// Note.
    pub note: Option<Text>,
}

/// A Markdown page.
#[derive(Clone, Debug)]
pub struct Page {
    /// Common part.
    pub head: Head,
    /// First heading.
    pub title: Text,
    /// The whole text.
    pub body: Text,
}

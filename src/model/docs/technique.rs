//! Techniques and positions.

use super::Amount;
use super::Claim;
use super::Condition;
use super::Ground;
use super::Head;
use super::JointAngle;
use super::Limit;
use super::Places;
use super::StopRule;
use super::SweepRule;
use crate::model::ids::Ref;
use crate::model::vocabulary::Cover;
use crate::model::vocabulary::Role;
use crate::model::vocabulary::Stressor;
use crate::model::vocabulary::ThermalSource;
use crate::source::Span;
use crate::source::Spanned;
use crate::source::Text;

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
    /// What brings heat or cold.
    pub thermal: Vec<Apparatus>,
    /// How it moves over the skin.
    pub sweep: Option<SweepRule>,
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

    /// Parameters by which it loads with a stressor: those that add up, and the peak.
    pub fn loading(&self, stressor: Stressor) -> impl Iterator<Item = &Parameter> {
        let own = self.exposes.iter().filter(move |e| e.stressor == stressor);
        own.flat_map(|e| e.total.iter().chain(&e.peak)).filter_map(|name| self.parameter(&name.value))
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

/// Something that brings heat or cold, and what lies between it and the skin.
#[derive(Clone, Debug)]
pub struct Apparatus {
    /// Word of the dose parameter `agent` for which it holds; `None` if it always holds.
    pub agent: Option<Text>,
    /// Kind of source.
    pub source: Spanned<ThermalSource>,
    /// Material of one cover layer. A step whose dose says `cover` overrides it.
    pub cover: Option<Spanned<Cover>>,
    /// Length along the path that is cold at one moment: the edge of the ice, the wetted trail of a stream.
    pub footprint: Option<Amount>,
    /// Longest time to the first look at the skin.
    pub first_check: Option<Amount>,
    /// What is said about the dangers of a coolant.
    pub safety: CoolantSafety,
    /// Where it stands.
    pub span: Span,
}

/// What has to be known before a coolant is used.
#[derive(Clone, Debug, Default)]
pub struct CoolantSafety {
    /// Does it burn?
    pub flammable: Option<Text>,
    /// How the room is aired.
    pub airing: Option<Text>,
    /// How eyes, nose and mouth are shielded.
    pub shield: Option<Text>,
    /// What could set it alight, and how that is kept away.
    pub ignition: Option<Text>,
}

impl CoolantSafety {
    /// Key, label for people and text of each part.
    pub fn parts(&self) -> [(&'static str, &'static str, Option<&Text>); 4] {
        [
            ("flammable", "Flammable", self.flammable.as_ref()),
            ("airing", "Airing", self.airing.as_ref()),
            ("shield", "Shield", self.shield.as_ref()),
            ("ignition", "Ignition", self.ignition.as_ref()),
        ]
    }
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

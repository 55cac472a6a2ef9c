//! The exposure of a step: from its technique, dose, skin and position to a scenario at its worst end.

use super::apparatus::{self, DWELL, PASSES, SPEED, Way};
use super::memo;
use super::scenario::{Exposure, Moving, Resting, Scenario};
use crate::model::docs::{Apparatus, Dose, Position, Technique};
use crate::model::interval::Interval;
use crate::model::quantity::Quantity;
use crate::model::region::{Place, Tag, any_meets, regions};
use crate::model::unit::Dim;
use crate::model::vocabulary::{Cover, ThermalSource};
use std::sync::Arc;

/// What heat or cold does in a step.
#[derive(Clone, Debug)]
pub struct Thermal {
    /// The computed exposure.
    pub exposure: Arc<Exposure>,
    /// Where the step lies outside the range of the model.
    pub beyond: Vec<Beyond>,
}

/// A reason why numbers for healthy adult skin may not hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Beyond {
    /// People under 18 years.
    Young,
    /// People over 65 years.
    Old,
    /// Ages are not stated.
    AgesUnknown,
    /// Thin skin over bone.
    ThinSkin,
    /// Feeling is often poor there.
    PoorFeeling,
}

impl Beyond {
    /// In few words, for a card.
    pub fn short(self) -> &'static str {
        match self {
            Beyond::Young => "under 18",
            Beyond::Old => "over 65",
            Beyond::AgesUnknown => "ages not stated",
            Beyond::ThinSkin => "thin skin",
            Beyond::PoorFeeling => "poor feeling",
        }
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Beyond::Young => "people under 18 may have it: their skin is thinner and burns sooner",
            Beyond::Old => "people over 65 may have it: old skin is thinner, less supplied with blood and feels less",
            Beyond::AgesUnknown => "the ages are not stated",
            Beyond::ThinSkin => "the skin there is thin over bone",
            Beyond::PoorFeeling => "feeling is often poor there",
        }
    }
}

/// Groups of the region list whose blood comes pre-cooled.
const LIMBS: [&str; 9] = ["arm", "elbow", "forearm", "hand", "thigh", "knee", "leg", "foot", "shoulder"];

fn on_limb(place: Place) -> bool {
    LIMBS.contains(&regions().body_part(place.region))
}

/// What the scenario of a step is made from.
pub struct Given<'a> {
    /// Technique.
    pub technique: &'a Technique,
    /// Dose.
    pub dose: &'a Dose,
    /// Skin.
    pub places: &'a [Place],
    /// Position, if one is known.
    pub position: Option<&'a Position>,
    /// True at home: nobody sees how it lies, so heat counts as lain on.
    pub home: bool,
    /// Ages of the people, years.
    pub ages: Option<Interval>,
    /// How long the step lasts with its repeats, s.
    pub duration: Option<Interval>,
}

/// Nothing lies longer than this, s: a longer dose is judged as if it did.
const LONGEST: f64 = 86_400.0;
/// Nor stays on one spot in one pass longer than this, s.
const LONGEST_PASS: f64 = 600.0;
/// Nor passes more often.
const MOST_PASSES: f64 = 200.0;

/// The exposure of a step; `None` if it brings neither heat nor cold or the dose does not say enough.
pub fn thermal(given: &Given<'_>) -> Option<Thermal> {
    let scenario = scenario(given)?;
    Some(Thermal { exposure: memo::exposure(&scenario)?, beyond: beyond(given) })
}

/// The scenario at the worst end of every range.
pub fn scenario(given: &Given<'_>) -> Option<Scenario> {
    let source = apparatus::of(given.technique, given.dose)?;
    match apparatus::way(given.technique, given.dose)? {
        Way::Moving => moving(given, source).map(Scenario::Moving),
        Way::Heat | Way::Resting => resting(given, source).map(Scenario::Resting),
    }
}

fn resting(given: &Given<'_>, source: &Apparatus) -> Option<Resting> {
    let kind = source.source.value;
    let heat = kind.is_heat();
    // Repeats without a pause between are the bound for repeats.
    let all = given.duration.map_or(0.0, |d| d.hi);
    let seconds = given.dose.amount("time").filter(|q| q.dim() == Dim::Time)?.base().hi.max(all).min(LONGEST);
    let own = matches!(kind, ThermalSource::IcePack | ThermalSource::CrushedIce | ThermalSource::MovingIce);
    let start = match apparatus::temperature(given.dose) {
        Some(q) if heat => within(q.base().hi),
        Some(q) => within(q.base().lo),
        None if own => 0.0,
        None => return None,
    };
    let cover = apparatus::cover(Some(source), given.dose)?;
    let layers = if cover == Cover::None { 0 } else { whole(apparatus::layers(given.dose)?.base().lo) };
    let limb = if heat { !given.places.is_empty() && given.places.iter().copied().all(on_limb) } else { cold_limb(given) };
    let under = (heat && given.home) || given.position.is_some_and(|p| any_meets(&p.bears_weight.all, given.places));
    // A towel that somebody lies on has no loft.
    let cover = if under && cover == Cover::LoftedTowel { Cover::PressedTowel } else { cover };
    Some(Resting { source: kind, start, cover, layers, seconds, limb, under })
}

/// Cold is judged on a limb, whose blood comes cooler, wherever it may be one.
fn cold_limb(given: &Given<'_>) -> bool {
    given.places.is_empty() || given.places.iter().copied().any(on_limb)
}

/// A time to the microsecond, so that 0.2 s is not 0.19999999999999998 s wherever it is shown and run again.
fn settled(seconds: f64) -> f64 {
    (seconds * 1e6).round() / 1e6
}

fn moving(given: &Given<'_>, source: &Apparatus) -> Option<Moving> {
    let passes = given.dose.amount(PASSES).map(Quantity::base);
    // A stated dwell is of all passes together: the fewest passes stay longest.
    let (dwell, passes) = match given.dose.amount(DWELL) {
        Some(all) => {
            let fewest = whole(passes.map_or(1.0, |p| p.lo).min(MOST_PASSES)).max(1);
            (all.base().hi / f64::from(fewest), fewest)
        }
        None => (apparatus::pass(source, given.dose)?.hi, whole(passes.map_or(1.0, |p| p.hi).min(MOST_PASSES))),
    };
    let dwell = settled(dwell.min(LONGEST_PASS));
    let stroke = given.dose.amount("length").zip(given.dose.amount(SPEED)).and_then(|(l, v)| l.base().over(v.base()));
    let gap = stroke.map_or(2.0, |s| settled((s.lo - dwell).clamp(0.5, LONGEST_PASS)));
    Some(Moving { source: source.source.value, dwell, passes, gap, limb: cold_limb(given) })
}

/// The nearest temperature that the model can be run with, degC: what is hotter or open is judged, not let by.
fn within(x: f64) -> f64 {
    x.clamp(-60.0, 150.0)
}

/// A count from the end of an interval; more than a thousand is a thousand.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to lie between 0 and 1000")]
fn whole(x: f64) -> u32 {
    x.clamp(0.0, 1000.0).floor() as u32
}

fn beyond(given: &Given<'_>) -> Vec<Beyond> {
    let mut out = Vec::new();
    match given.ages {
        Some(ages) => {
            if ages.lo < 18.0 {
                out.push(Beyond::Young);
            }
            if ages.hi > 65.0 {
                out.push(Beyond::Old);
            }
        }
        None => out.push(Beyond::AgesUnknown),
    }
    let tagged = |tag: Tag| given.places.iter().any(|p| regions().get(p.region).tags.contains(&tag));
    if tagged(Tag::ThinSkin) {
        out.push(Beyond::ThinSkin);
    }
    if tagged(Tag::PoorSensationCommon) {
        out.push(Beyond::PoorFeeling);
    }
    out
}

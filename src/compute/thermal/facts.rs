//! The exposure of a step: from its technique, dose, skin and position to a scenario at its worst end.

use super::apparatus::{self, PASSES, Way};
use super::memo;
use super::scenario::{Exposure, Moving, Resting, Scenario};
use crate::model::docs::{Apparatus, Dose, Position, Technique};
use crate::model::interval::Interval;
use crate::model::region::{Place, Tag, any_meets, regions};
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

fn on_limb(place: &Place) -> bool {
    LIMBS.contains(&regions().get(place.region).group.as_str())
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
}

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
    let seconds = finite(given.dose.amount("time")?.base().hi)?;
    let own = matches!(kind, ThermalSource::IcePack | ThermalSource::CrushedIce | ThermalSource::MovingIce);
    let start = match apparatus::temperature(given.dose) {
        Some(q) if heat => finite(q.base().hi)?,
        Some(q) => finite(q.base().lo)?,
        None if own => 0.0,
        None => return None,
    };
    let cover = apparatus::cover(Some(source), given.dose)?;
    let layers = if cover == Cover::None { 0 } else { whole(apparatus::layers(given.dose)?.base().lo)? };
    let limb = if heat { given.places.iter().all(on_limb) } else { given.places.iter().any(on_limb) };
    let under = (heat && given.home) || given.position.is_some_and(|p| any_meets(&p.bears_weight.all, given.places));
    Some(Resting { source: kind, start, cover, layers, seconds, limb: limb && !given.places.is_empty(), under })
}

fn moving(given: &Given<'_>, source: &Apparatus) -> Option<Moving> {
    let passes = given.dose.amount(PASSES).map_or(Some(1), |q| whole(q.base().hi))?;
    let dwell = match apparatus::pass(source, given.dose) {
        Some(one) => finite(one.hi)?,
        None => finite(apparatus::dwell(Some(source), given.dose)?.hi)? / f64::from(passes.max(1)),
    };
    let stroke = given.dose.amount("length").zip(given.dose.amount("speed")).and_then(|(l, v)| l.base().over(v.base()));
    let gap = stroke.map_or(2.0, |s| (s.lo - dwell).max(0.5));
    Some(Moving { source: source.source.value, dwell, passes, gap, limb: given.places.iter().any(on_limb) })
}

fn finite(x: f64) -> Option<f64> {
    (x.is_finite() && x.abs() < 1e6).then_some(x)
}

/// A count from an interval's end; the vocabulary of doses has whole numbers up to some hundreds.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "checked to lie between 0 and 1000")]
fn whole(x: f64) -> Option<u32> {
    (0.0..=1000.0).contains(&x).then(|| x.floor() as u32)
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

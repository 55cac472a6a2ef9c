//! What a single step does: where it acts, in which position, how long it takes, what it loads.

use super::chart::{self, ChartFacts, MuscleFacts};
use super::mechanics::{self, Stretch};
use super::thermal::apparatus;
use super::thermal::facts::{self, Given, Thermal};
use super::thermal::scenario::RE_WARM;
use crate::model::docs::{Dose, JointAngle, Muscle, Point, Position, Protocol, Step, Target, Technique, Term};
use crate::model::interval::Interval;
use crate::model::quantity::unit_named;
use crate::model::region::{Place, Side};
use crate::model::unit::Dim;
use crate::model::vocabulary::Stressor;
use crate::model::{Catalog, Idx};
use crate::source::Text;

/// What follows from one step or home item.
#[derive(Debug, Clone)]
pub struct StepFacts {
    /// Its technique.
    pub technique: Option<Idx<Technique>>,
    /// Position, own or carried on.
    pub position: Option<Idx<Position>>,
    /// True if the person turns before this step.
    pub turns: bool,
    /// Muscle of the protocol.
    pub muscle: Option<Idx<Muscle>>,
    /// Skin on which it acts.
    pub places: Vec<Place>,
    /// Palpation point, if it acts on one that exists.
    pub point: Option<u32>,
    /// Seconds; `None` if it cannot be derived.
    pub duration: Option<Interval>,
    /// Loads.
    pub loads: Vec<Load>,
    /// What it does to the length of the muscle, if it stretches and the muscle has moment arms.
    pub stretch: Option<Stretch>,
    /// What its heat or cold does to the skin, if the dose says enough to compute it.
    pub thermal: Option<Thermal>,
    /// What follows from the lines along which it moves, if they are drawn.
    pub sweep: Option<chart::sweep::SweepFacts>,
}

/// One load of a step.
#[derive(Debug, Clone)]
pub struct Load {
    /// Stressor.
    pub stressor: Stressor,
    /// What adds up: dimension and amount in base units.
    pub total: Option<(Dim, Interval)>,
    /// Highest pain allowed.
    pub peak: Option<f64>,
    /// Seconds for which the skin is to be treated as numb.
    pub numbs_for: Option<f64>,
}

impl StepFacts {
    /// The load of a stressor.
    pub fn load(&self, stressor: Stressor) -> Option<&Load> {
        self.loads.iter().find(|l| l.stressor == stressor)
    }

    /// Cold numbs for as long as the model says that the skin stays cool, or as the technique says if that is longer.
    fn numbed(mut self) -> StepFacts {
        let modelled = self.thermal.as_ref().filter(|t| !t.exposure.scenario.is_heat()).map(|t| t.exposure.rewarm().unwrap_or(RE_WARM));
        for load in self.loads.iter_mut().filter(|l| l.stressor == Stressor::Cold) {
            load.numbs_for = load.numbs_for.into_iter().chain(modelled).reduce(f64::max);
        }
        self
    }

    /// True if it loads the body at all.
    pub fn is_treatment(&self) -> bool {
        !self.loads.is_empty()
    }
}

pub(super) fn of_protocol(catalog: &Catalog, chart: &ChartFacts, protocol: &Protocol) -> Vec<StepFacts> {
    let mut position = None;
    protocol
        .steps
        .iter()
        .map(|step| {
            let own = step.position.as_ref().and_then(|p| p.to);
            let turns = own.is_some() && own != position && position.is_some();
            position = own.or(position);
            let facts = one(catalog, chart, protocol, step.technique.to, &step.target, &step.dose);
            let facts = swept(catalog, facts, step);
            let stretch = stretched(catalog, &facts, &step.joints, position);
            let thermal = warmed(catalog, protocol, &facts, &step.dose, Where::Table(position));
            StepFacts { position, turns, stretch, thermal, ..facts }.numbed()
        })
        .collect()
}

pub(super) fn of_home(catalog: &Catalog, chart: &ChartFacts, protocol: &Protocol) -> Vec<StepFacts> {
    protocol
        .home
        .iter()
        .map(|item| {
            let facts = one(catalog, chart, protocol, item.technique.to, &item.target, &item.dose);
            let stretch = stretched(catalog, &facts, &item.joints, None);
            let thermal = warmed(catalog, protocol, &facts, &item.dose, Where::Home);
            StepFacts { stretch, thermal, ..facts }.numbed()
        })
        .collect()
}

fn stretched(catalog: &Catalog, facts: &StepFacts, own: &[JointAngle], position: Option<Idx<Position>>) -> Option<Stretch> {
    facts.load(Stressor::Stretch)?;
    mechanics::facts::stretch(catalog, facts.muscle?, own, position)
}

/// Where a person has heat or cold: in a position, or at home, where none is known.
#[derive(Copy, Clone)]
enum Where {
    Table(Option<Idx<Position>>),
    Home,
}

fn warmed(catalog: &Catalog, protocol: &Protocol, facts: &StepFacts, dose: &Dose, at: Where) -> Option<Thermal> {
    let technique = &catalog.techniques[facts.technique?];
    let (position, home) = match at {
        Where::Table(position) => (position.map(|p| &catalog.positions[p]), false),
        Where::Home => (None, true),
    };
    let year = unit_named("y").factor;
    let ages = protocol.population.ages.as_ref().map(|a| a.value.base()).map(|a| Interval::new(a.lo / year, a.hi / year));
    facts::thermal(&Given { technique, dose, places: &facts.places, position, home, ages, duration: facts.duration })
}

/// Adds the lines of a step and the skin that they touch.
fn swept(catalog: &Catalog, mut facts: StepFacts, step: &Step) -> StepFacts {
    let (Some(muscle), Some(sweep)) = (facts.muscle.map(|m| &catalog.muscles[m]), &step.sweep) else { return facts };
    let aimed: Vec<&Point> = muscle.points.iter().filter(|p| facts.point.is_none_or(|n| n == p.number.value)).collect();
    let technique = facts.technique.map(|t| &catalog.techniques[t]);
    let footprint = technique.and_then(|t| apparatus::of(t, &step.dose)).and_then(|a| a.footprint.as_ref());
    // Footprints are lengths, which are metres in base units.
    let width = footprint.map_or(chart::sweep::WIDTH, |f| f.value.base().hi * 100.0);
    let sweep = chart::sweep::facts(muscle, &aimed, sweep, width);
    facts.places.extend(&sweep.places);
    split_sides(&mut facts.places);
    facts.sweep = Some(sweep);
    facts
}

fn one(
    catalog: &Catalog,
    chart: &ChartFacts,
    protocol: &Protocol,
    technique: Option<Idx<Technique>>,
    target: &Target,
    dose: &Dose,
) -> StepFacts {
    let muscle = protocol.muscle.to;
    let point = muscle.and_then(|m| point_of(&catalog.muscles[m], target));
    let places = places(muscle.map(|m| (&catalog.muscles[m], chart.of(m))), target, point);
    let known = technique.map(|t| &catalog.techniques[t]);
    let loads = known.map(|t| loads(t, dose)).unwrap_or_default();
    let duration = known.and_then(|t| sum(&t.takes, dose));
    StepFacts {
        technique,
        position: None,
        turns: false,
        muscle,
        places,
        point: point.map(|p| p.number.value),
        duration,
        loads,
        stretch: None,
        thermal: None,
        sweep: None,
    }
}

fn point_of<'a>(muscle: &'a Muscle, target: &Target) -> Option<&'a Point> {
    let number = target.point.as_ref()?.value;
    muscle.points.iter().find(|p| p.number.value == number)
}

/// Skin in words and as drawn: whatever either names counts.
fn places(muscle: Option<(&Muscle, &MuscleFacts)>, target: &Target, point: Option<&Point>) -> Vec<Place> {
    let mut all: Vec<Place> = target.regions.all.clone();
    if let Some(point) = point {
        all.extend(&point.region.all);
    }
    if let (Some(point), Some((muscle, drawn))) = (point, muscle) {
        let own = muscle.points.iter().zip(&drawn.points).filter(|(p, _)| p.number.value == point.number.value);
        own.for_each(|(_, facts)| all.extend(&facts.places));
    }
    if let (true, Some((muscle, drawn))) = (target.muscle, muscle) {
        all.extend(&muscle.regions.all);
        all.extend(&drawn.places);
    }
    split_sides(&mut all);
    all
}

/// Both sides become two places; the rest stays. Sorted, each once.
fn split_sides(places: &mut Vec<Place>) {
    let both: Vec<Place> = places.iter().copied().filter(|p| p.side == Side::Both).collect();
    places.retain(|p| p.side != Side::Both);
    for place in both {
        places.push(Place { side: Side::Same, ..place });
        places.push(Place { side: Side::Other, ..place });
    }
    places.sort_unstable();
    places.dedup();
}

fn loads(technique: &Technique, dose: &Dose) -> Vec<Load> {
    technique
        .exposes
        .iter()
        .map(|e| Load {
            stressor: e.stressor,
            total: if e.total.is_empty() { None } else { product(&e.total, &[], dose) },
            peak: e.peak.as_ref().and_then(|name| dose.amount(&name.value)).map(|q| q.base().hi),
            numbs_for: e.numbs_for.as_ref().map(|q| q.base().hi),
        })
        .collect()
}

/// Seconds of a sum of products; `None` if a product is not a time or a parameter is missing.
pub fn sum(terms: &[Term], dose: &Dose) -> Option<Interval> {
    if terms.is_empty() {
        return None;
    }
    let mut total = Interval::ZERO;
    for term in terms {
        match product(&term.times, &term.over, dose)? {
            (Dim::Time, amount) => total = total + amount,
            _ => return None,
        }
    }
    Some(total)
}

/// Product of dose parameters in base units, with the dimension that results.
pub fn product(times: &[Text], over: &[Text], dose: &Dose) -> Option<(Dim, Interval)> {
    let mut amount = Interval::exact(1.0);
    let (mut time, mut length) = (0i32, 0i32);
    let mut count = None;
    for (names, sign) in [(times, 1), (over, -1)] {
        for name in names {
            let quantity = dose.amount(&name.value)?;
            let base = quantity.base();
            amount = if sign > 0 { amount * base } else { amount.over(base)? };
            match quantity.dim() {
                Dim::Time => time += sign,
                Dim::Length => length += sign,
                Dim::Speed => {
                    length += sign;
                    time -= sign;
                }
                Dim::Passes => count = Some(Dim::Passes),
                Dim::Reps | Dim::Sets => count = count.or(Some(Dim::Reps)),
                Dim::Lines | Dim::Layers => {}
                _ => return None,
            }
        }
    }
    let dim = match (time, length) {
        (1, 0) => Dim::Time,
        (0, 1) => Dim::Length,
        (0, 0) => count?,
        _ => return None,
    };
    Some((dim, amount))
}

//! What a step does to the skin, from the apparatus to a verdict: three ways of blood flow, judged on
//! the worst.

use super::constants::{self, Apparatus, CONTACT};
use super::damage::{Dose, HENRIQUES, HENRIQUES_SI, Line};
use super::history::History;
use super::run::{PRODUCTION, Resolution, run};
use super::safe::{Limit, longest};
use super::stack::{Body, Cover as Layer, Curve, Meets, Pack, Perfusion, Phase, Responses, Run, Tissue};
use crate::model::vocabulary::{Cover, ThermalSource};
use serde::{Deserialize, Serialize};

/// Heat or cold that lies still.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Resting {
    /// Source.
    pub source: ThermalSource,
    /// Its temperature as it is laid on, degC; not used where the source has its own.
    pub start: f64,
    /// Material of a layer between.
    pub cover: Cover,
    /// How many layers.
    pub layers: u32,
    /// How long it lies, s.
    pub seconds: f64,
    /// True on a limb, false on the trunk, neck and head.
    pub limb: bool,
    /// True if the person lies on it: no room air on its outer face.
    pub under: bool,
}

/// Cold that moves along the skin: what one spot meets.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moving {
    /// Source.
    pub source: ThermalSource,
    /// Time on the spot in one pass, s.
    pub dwell: f64,
    /// Passes over the spot.
    pub passes: u32,
    /// Time between two passes, s.
    pub gap: f64,
    /// True on a limb.
    pub limb: bool,
}

/// What is computed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Scenario {
    /// Lies still.
    Resting(Resting),
    /// Moves.
    Moving(Moving),
}

/// The three ways of blood flow: healthy skin, flow as at rest, no flow.
pub const MODES: [Perfusion; 3] = [Perfusion::Responsive, Perfusion::Basal, Perfusion::None];

/// How long the skin is watched after heat, s.
const COOL_DOWN: f64 = 600.0;
/// How long the skin is watched after cold, s.
pub const RE_WARM: f64 = 7200.0;
/// The search for the safe time ends here or at four times the time of the step, whichever is later, s.
const SEARCH: f64 = 7200.0;
/// Least gap between two passes, s.
const LEAST_GAP: f64 = 0.1;

/// What came out for one way of blood flow. Temperatures in degC, times in s.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Outcome {
    /// Way of blood flow.
    pub mode: Perfusion,
    /// Skin at rest.
    pub rest: f64,
    /// Highest skin temperature.
    pub skin_max: f64,
    /// Lowest skin temperature.
    pub skin_min: f64,
    /// Highest temperature of the basal layer.
    pub basal_max: f64,
    /// Lowest temperature of the basal layer.
    pub basal_min: f64,
    /// Time with skin above 43 degC.
    pub above_43: f64,
    /// Time with skin below 15, 13.6, 10 and 0 degC.
    pub below: [f64; 4],
    /// Equivalent minutes at 43 degC at the basal layer.
    pub cem43: f64,
    /// Burn integral at the basal layer.
    pub burn: f64,
    /// The same with the SI pair of constants, for comparison only.
    pub burn_si: f64,
    /// First time with the basal layer at 43 degC.
    pub first_43: Option<f64>,
    /// First time at which the burn integral reaches first degree.
    pub first_burn: Option<f64>,
    /// First time with skin below 13.6 degC.
    pub first_numb: Option<f64>,
    /// From the end of the application until skin is back at 30 degC; `None` if not within the time watched.
    pub rewarm: Option<f64>,
    /// Longest safe time of heat; `None` for cold, and where the whole search is safe.
    pub safe: Option<f64>,
    /// Skin temperature over time, thinned for drawing.
    pub curve: Vec<(f64, f64)>,
}

/// Everything about one scenario.
#[derive(Clone, Debug, PartialEq)]
pub struct Exposure {
    /// What was computed.
    pub scenario: Scenario,
    /// One for each of `MODES`.
    pub modes: [Outcome; 3],
}

/// Levels of `Outcome::below`, degC: 13.6 is where ice massage numbed skin (Bugaj 1975), 10 where nerves
/// conduct a third more slowly (Algafly 2007), 15 where touch begins to hurt (Geng 2006).
pub const COLD_LEVELS: [f64; 4] = [15.0, 13.6, 10.0, 0.0];

impl Scenario {
    /// True for heat.
    pub fn is_heat(&self) -> bool {
        match self {
            Scenario::Resting(r) => r.source.is_heat(),
            Scenario::Moving(m) => m.source.is_heat(),
        }
    }

    /// How long the source is on the skin, s.
    pub fn lasts(&self) -> f64 {
        match self {
            Scenario::Resting(r) => r.seconds,
            Scenario::Moving(m) => f64::from(m.passes) * m.dwell + f64::from(m.passes.saturating_sub(1)) * m.gap,
        }
    }

    /// How long an application is looked at for a limit, s.
    pub fn searched(&self) -> f64 {
        SEARCH.max(4.0 * self.lasts())
    }

    /// The run for one way of blood flow; `None` if the source has no entry.
    pub fn run(&self, perfusion: Perfusion) -> Option<Run> {
        let (phases, limb) = match self {
            Scenario::Resting(r) => (resting(r)?, r.limb),
            Scenario::Moving(m) => (moving(m)?, m.limb),
        };
        Some(Run { body: body(limb), perfusion, responses: responses(), phases })
    }
}

fn bare(seconds: f64) -> Phase {
    Phase { duration: seconds, meets: Meets::Bare { h: constants::BARE_SKIN, at: constants::ROOM } }
}

fn resting(r: &Resting) -> Option<Vec<Phase>> {
    let source = constants::source(r.source)?;
    let layer = constants::cover(r.cover).filter(|_| r.layers > 0);
    let contact = Some(contact(r)?);
    let pack = match source.is {
        Apparatus::Slab(material, thickness) => Pack::Slab { material, thickness, start: r.start, contact },
        Apparatus::Held => Pack::Held { at: r.start, contact },
        Apparatus::HeldAt(at) => Pack::Held { at: at.min(r.start), contact },
    };
    let covers: Vec<Layer> = layer
        .map(|(material, thickness, joint, _)| Layer { material, thickness, contact: Some(joint) })
        .into_iter()
        .cycle()
        .take(usize::try_from(r.layers).unwrap_or(usize::MAX))
        .collect();
    let outer = if r.under { 0.0 } else { constants::PACK_FACE };
    let meets = Meets::Covered { pack: Some(pack), covers, cover_start: constants::ROOM, outer };
    let after = if r.source.is_heat() { COOL_DOWN } else { RE_WARM };
    Some(vec![Phase { duration: r.seconds, meets }, bare(after)])
}

/// Joint between a resting source and what lies under it, W/(m2 K).
///
/// Heat through cloth meets the cloth; ice that is stroked without passes touches a spot for part of
/// the time.
pub fn contact(r: &Resting) -> Option<f64> {
    let source = constants::source(r.source)?;
    let cloth = constants::cover(r.cover).filter(|_| r.layers > 0 && r.source.is_heat());
    let share = if r.source == ThermalSource::MovingIce { constants::STROKE_SHARE } else { 1.0 };
    Some(cloth.map_or(source.film * share, |(_, _, joint, _)| joint))
}

fn moving(m: &Moving) -> Option<Vec<Phase>> {
    let source = constants::source(m.source)?;
    let Apparatus::HeldAt(at) = source.is else { return None };
    let mut out = Vec::new();
    for pass in 0..m.passes {
        out.push(Phase { duration: m.dwell, meets: Meets::Bare { h: source.film, at } });
        if pass + 1 < m.passes {
            out.push(bare(m.gap.max(LEAST_GAP)));
        }
    }
    out.push(bare(RE_WARM));
    Some(out)
}

/// The body of the model: an adult with healthy skin.
pub fn body(limb: bool) -> Body {
    let tissue = |l: &constants::BodyLayer| Tissue {
        material: l.material,
        thickness: l.thickness,
        perfusion: l.perfusion,
        metabolic: l.metabolic,
        response: l.response,
    };
    Body {
        room: constants::ROOM,
        core: if limb { constants::CORE_LIMB } else { constants::CORE_TRUNK },
        rest_skin: constants::BARE_SKIN,
        blood: constants::BLOOD,
        tissue: constants::BODY.iter().map(tissue).collect(),
    }
}

/// The answer of blood flow in healthy skin.
pub fn responses() -> Responses {
    let curve = |points: &[(f64, f64)]| Curve { points: points.to_vec() };
    Responses {
        skin: curve(&constants::FLOW_SKIN),
        fat: curve(&constants::FLOW_FAT),
        muscle: curve(&constants::FLOW_MUSCLE),
        lag: constants::LAG,
        lag_recover: constants::LAG_RECOVER,
    }
}

/// The limits that decide the safe time of heat: the stricter of burn integral and contact thresholds.
pub fn heat_limits() -> Vec<Limit> {
    let burn = Limit::Dose(Dose::Burn(HENRIQUES), constants::BURN_FIRST);
    std::iter::once(burn).chain(CONTACT.map(|(level, seconds)| Limit::Above(level, seconds))).collect()
}

/// Computes a scenario; `None` if its source has no entry.
pub fn compute(scenario: &Scenario) -> Option<Exposure> {
    compute_at(scenario, PRODUCTION)
}

/// The same on another grid, to see how far cells and steps move the results.
pub fn compute_at(scenario: &Scenario, resolution: Resolution) -> Option<Exposure> {
    let [a, b, c] = MODES.map(|mode| outcome(scenario, mode, resolution));
    Some(Exposure { scenario: *scenario, modes: [a?, b?, c?] })
}

fn outcome(scenario: &Scenario, mode: Perfusion, resolution: Resolution) -> Option<Outcome> {
    let of = scenario.run(mode)?;
    let h = run(&of, resolution);
    let (skin, basal) = (h.skin(), h.basal());
    let end = h.ends.get(h.ends.len().checked_sub(2)?).copied()?;
    let safe = if scenario.is_heat() { longest(&of, &heat_limits(), scenario.searched(), resolution) } else { None };
    Some(Outcome {
        mode,
        rest: *h.skin.first()?,
        skin_max: skin.highest()?,
        skin_min: skin.lowest()?,
        basal_max: basal.highest()?,
        basal_min: basal.lowest()?,
        above_43: skin.above(43.0),
        below: COLD_LEVELS.map(|level| skin.below(level)),
        cem43: basal.total(Dose::Cem43),
        burn: basal.total(Dose::Burn(HENRIQUES)),
        burn_si: basal.total(Dose::Burn(HENRIQUES_SI)),
        first_43: basal.rises_to(43.0),
        first_burn: basal.reaches(Dose::Burn(HENRIQUES), constants::BURN_FIRST),
        first_numb: skin.falls_to(13.6),
        rewarm: skin.back_to(30.0, end),
        safe,
        curve: thinned(&h),
    })
}

/// Points of a curve for drawing: close together where the temperature changes.
fn thinned(h: &History) -> Vec<(f64, f64)> {
    let skin: Line<'_> = h.skin();
    let (Some(high), Some(low)) = (skin.highest(), skin.lowest()) else { return Vec::new() };
    let (wide, long) = ((high - low).max(0.1), h.t.last().copied().unwrap_or(1.0));
    let mut out: Vec<(f64, f64)> = Vec::new();
    for (t, y) in h.t.iter().zip(&h.skin) {
        let far = out.last().is_none_or(|(t0, y0)| ((t - t0) / long).hypot((y - y0) / wide) > 0.015);
        if far || h.ends.contains(t) {
            out.push((*t, *y));
        }
    }
    out
}

impl Exposure {
    /// The way of blood flow with the least margin: for heat the hottest, for cold the coldest.
    pub fn worst(&self) -> &Outcome {
        let [first, rest @ ..] = &self.modes;
        let heat = self.scenario.is_heat();
        rest.iter().fold(first, |worst, o| {
            let worse = if heat {
                (o.safe.unwrap_or(f64::MAX), -o.basal_max) < (worst.safe.unwrap_or(f64::MAX), -worst.basal_max)
            } else {
                o.skin_min < worst.skin_min
            };
            if worse { o } else { worst }
        })
    }

    /// Share of the safe time that is used in the worst way of blood flow; `None` for cold and where
    /// every time searched is safe.
    pub fn used(&self) -> Option<f64> {
        self.worst().safe.map(|safe| if safe > 0.0 { self.scenario.lasts() / safe } else { f64::INFINITY })
    }

    /// Share of a limit that is used up: of the safe time, or where none was found, of the burn integral
    /// and of the time above 43 degC.
    pub fn share(&self) -> f64 {
        let dose = |o: &Outcome| (o.burn / constants::BURN_FIRST).max(o.above_43 / CONTACT[0].1);
        self.used().unwrap_or_else(|| self.modes.iter().map(dose).fold(0.0, f64::max))
    }

    /// Time from the end of cold until the skin is warm again, in the slower of the two ways in which
    /// blood flows; `None` if that is not within the time watched.
    pub fn rewarm(&self) -> Option<f64> {
        let flowing = self.modes.iter().filter(|o| o.mode != Perfusion::None);
        flowing.map(|o| o.rewarm).collect::<Option<Vec<f64>>>()?.into_iter().reduce(f64::max)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn clay(start: f64, layers: u32, minutes: f64) -> Exposure {
        let of = Resting {
            source: ThermalSource::ClayPack,
            start,
            cover: Cover::DampTowel,
            layers,
            seconds: minutes * 60.0,
            limb: false,
            under: false,
        };
        compute(&Scenario::Resting(of)).unwrap()
    }

    #[test]
    fn more_layers_and_a_cooler_pack_may_lie_longer() {
        let safe = |start, layers| clay(start, layers, 20.0).worst().safe.unwrap_or(f64::MAX);
        assert!(safe(70.0, 2) < safe(70.0, 4) && safe(70.0, 4) < safe(70.0, 8));
        assert!(safe(75.0, 6) < safe(70.0, 6));
    }

    #[test]
    fn the_worst_way_of_blood_flow_is_judged() {
        let e = clay(72.0, 6, 20.0);
        assert_eq!(e.worst().mode, Perfusion::None);
        assert!(e.modes[0].skin_max < e.modes[2].skin_max);
        // Healthy skin under 5 damp layers reached 42.7 (1.0) degC (J Korean Acad Rehabil Med 2003;27:778).
        assert!((clay(72.0, 5, 20.0).modes[0].skin_max - 42.7).abs() < 1.0);
    }

    #[test]
    fn a_slow_stream_freezes_what_a_quick_one_does_not() {
        let stream = |dwell| Scenario::Moving(Moving { source: ThermalSource::ColdStream, dwell, passes: 3, gap: 5.0, limb: true });
        let lowest = |dwell| compute(&stream(dwell)).unwrap().worst().skin_min;
        assert!(lowest(1.0) < -4.0 && lowest(0.1) > 10.0, "{} {}", lowest(1.0), lowest(0.1));
    }
}

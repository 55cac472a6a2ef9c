//! Which source of heat or cold a dose means, and the times that follow from the dose alone.
//!
//! No temperatures of skin: those need a model of the layers.

use crate::model::docs::{Apparatus, Dose, Technique};
use crate::model::interval::Interval;
use crate::model::quantity::Quantity;
use crate::model::unit::Dim;
use crate::model::vocabulary::{Cover, Stressor, ThermalSource};

/// Dose parameter that chooses among several apparatus.
pub const AGENT: &str = "agent";
/// Dose parameter: temperature of the source.
pub const SOURCE: &str = "source";
/// Dose parameter: number of cover layers.
pub const LAYERS: &str = "layers";
/// Dose parameter: material of one cover layer, instead of that of the apparatus.
pub const COVER: &str = "cover";
/// Dose parameter: speed of moving cold over the skin.
pub const SPEED: &str = "speed";
/// Dose parameter: passes along each line.
pub const PASSES: &str = "passes";
/// Dose parameter: time on one spot, all passes together.
pub const DWELL: &str = "dwell";
const TIME: &str = "time";

/// How heat or cold meets the skin.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Way {
    /// Heat that rests.
    Heat,
    /// Cold that rests on one spot, or is rubbed about on one.
    Resting,
    /// Cold that passes along a line.
    Moving,
}

/// The apparatus that a dose means: the first without an agent or with the agent of the dose.
pub fn of<'a>(technique: &'a Technique, dose: &Dose) -> Option<&'a Apparatus> {
    technique.thermal.iter().find(|a| a.agent.as_ref().is_none_or(|agent| dose.word(AGENT) == Some(&*agent.value)))
}

/// How a dose of a technique brings heat or cold; `None` if it brings neither.
///
/// Moving ice that is counted in time and not in passes is ice massage of one spot: it counts as
/// resting. Where nothing says what the source is, cold with a time rests and other cold moves.
pub fn way(technique: &Technique, dose: &Dose) -> Option<Way> {
    let timed = dose.entry(TIME).is_some() && dose.entry(PASSES).is_none();
    let source = of(technique, dose).map(|a| a.source.value);
    match source {
        Some(s) if s.is_heat() => Some(Way::Heat),
        Some(ThermalSource::ColdStream) => Some(Way::Moving),
        Some(s) if s.moves() => Some(if timed { Way::Resting } else { Way::Moving }),
        Some(_) => Some(Way::Resting),
        None if technique.has(Stressor::Heat) => Some(Way::Heat),
        None if technique.has(Stressor::Cold) => Some(if timed { Way::Resting } else { Way::Moving }),
        None => None,
    }
}

/// Temperature of the source, degC.
pub fn temperature(dose: &Dose) -> Option<&Quantity> {
    dose.amount(SOURCE).filter(|q| q.dim() == Dim::Temperature)
}

/// Number of cover layers.
pub fn layers(dose: &Dose) -> Option<&Quantity> {
    dose.amount(LAYERS).filter(|q| q.dim() == Dim::Layers)
}

/// Material of one cover layer: of the dose, or else of the apparatus. A dose with a word that is on no
/// list has none.
pub fn cover(apparatus: Option<&Apparatus>, dose: &Dose) -> Option<Cover> {
    match dose.entry(COVER) {
        Some(_) => Cover::from_word(dose.word(COVER)?),
        None => apparatus?.cover.as_ref().map(|c| c.value),
    }
}

/// Parameters that a dose must state so that its heat or cold can be reckoned at all.
pub fn needs(technique: &Technique, dose: &Dose) -> &'static [&'static str] {
    let bare = cover(of(technique, dose), dose) == Some(Cover::None);
    match way(technique, dose) {
        Some(Way::Heat) if bare => &[SOURCE],
        Some(Way::Heat) => &[SOURCE, LAYERS],
        Some(Way::Resting) if !bare => &[LAYERS],
        Some(Way::Moving) if dose.entry(DWELL).is_none() => &[SPEED, PASSES],
        _ => &[],
    }
}

/// Seconds of one pass on one spot: footprint over speed.
pub fn pass(apparatus: &Apparatus, dose: &Dose) -> Option<Interval> {
    let footprint = apparatus.footprint.as_ref()?.value.base();
    let speed = dose.amount(SPEED).filter(|q| q.dim() == Dim::Speed)?.base();
    // What may stand still stays without end.
    Some(footprint.over(speed).unwrap_or(Interval::new(0.0, f64::INFINITY)))
}

/// Seconds on one spot, all passes of a step together: stated, or pass by pass.
///
/// Lines are taken to lie side by side without overlap.
pub fn dwell(apparatus: Option<&Apparatus>, dose: &Dose) -> Option<Interval> {
    if let Some(stated) = dose.amount(DWELL).filter(|q| q.dim() == Dim::Time) {
        return Some(stated.base());
    }
    let passes = dose.amount(PASSES).filter(|q| q.dim() == Dim::Passes)?;
    Some(pass(apparatus?, dose)? * passes.base())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compute::testing::document;
    use crate::load::decode::Document;
    use crate::model::Kind;

    const SWEEP: &str = "
exposes: [{stressor: cold}]
parameters: {agent: {words: [ice edge, coolant stream], required: true}}
thermal:
  - {agent: ice edge, source: moving ice, cover: none, footprint: 1.5 cm}
  - {agent: coolant stream, source: cold stream, footprint: 4-6 cm}
";
    const PACK: &str = "exposes: [{stressor: heat}]\nthermal: [{source: clay pack, cover: damp towel}]";

    fn technique(text: &str) -> Technique {
        match document(Kind::Technique, &format!("id: t\nrole: treatment\n{text}")) {
            Document::Technique(t) => *t,
            _ => unreachable!(),
        }
    }

    fn dose(text: &str) -> Dose {
        let root = crate::load::yaml::parse(crate::source::FileId(0), &format!("dose: {{{text}}}")).root.unwrap();
        crate::load::decode::Reader::new(crate::source::FileId(0), "").dose(&root, "dose")
    }

    #[test]
    fn the_agent_of_the_dose_chooses_the_source() {
        let sweep = technique(SWEEP);
        let source = |d: &str| of(&sweep, &dose(d)).map(|a| a.source.value);
        assert_eq!(source("agent: ice edge"), Some(ThermalSource::MovingIce));
        assert_eq!(source("agent: coolant stream"), Some(ThermalSource::ColdStream));
        assert_eq!((source("agent: snow"), source("passes: 2 passes")), (None, None));
        assert_eq!(of(&technique(PACK), &dose("time: 10 min")).map(|a| a.source.value), Some(ThermalSource::ClayPack));
    }

    #[test]
    fn ways_and_what_they_need() {
        let (sweep, pack) = (technique(SWEEP), technique(PACK));
        let (warm, cool) = (technique("exposes: [{stressor: heat}]"), technique("exposes: [{stressor: cold}]"));
        let gel = technique("exposes: [{stressor: cold}]\nthermal: [{source: frozen gel, cover: wet towel}]");
        let cases: [(&Technique, &str, Option<Way>, &[&str]); 10] = [
            (&pack, "time: 10 min", Some(Way::Heat), &[SOURCE, LAYERS]),
            (&pack, "time: 10 min, cover: none", Some(Way::Heat), &[SOURCE]),
            (&warm, "time: 10 min", Some(Way::Heat), &[SOURCE, LAYERS]),
            (&gel, "time: 10 min", Some(Way::Resting), &[LAYERS]),
            (&sweep, "agent: ice edge, passes: 2 passes", Some(Way::Moving), &[SPEED, PASSES]),
            (&sweep, "agent: ice edge, time: 5 min", Some(Way::Resting), &[]),
            (&sweep, "agent: coolant stream, time: 5 s", Some(Way::Moving), &[SPEED, PASSES]),
            (&sweep, "agent: coolant stream, dwell: 1 s", Some(Way::Moving), &[]),
            (&cool, "time: 10 min", Some(Way::Resting), &[LAYERS]),
            (&technique("exposes: []"), "time: 10 min", None, &[]),
        ];
        for (technique, text, wanted, parameters) in cases {
            let dose = dose(text);
            assert_eq!((way(technique, &dose), needs(technique, &dose)), (wanted, parameters), "{text}");
        }
    }

    #[test]
    fn a_slow_pass_stays_long() {
        let sweep = technique(SWEEP);
        let dwells = |d: &str| {
            let dose = dose(d);
            dwell(of(&sweep, &dose), &dose).map(|i| [i.lo, i.hi].map(|x| (x * 1e6).round() / 1e6))
        };
        // 1.5 cm at 2 cm/s: 0.75 s a pass.
        assert_eq!(dwells("agent: ice edge, passes: 1 pass, speed: 2 cm/s"), Some([0.75, 0.75]));
        assert_eq!(dwells("agent: ice edge, passes: 2-3 passes, speed: 2-3 cm/s"), Some([1.0, 2.25]));
        assert_eq!(dwells("agent: coolant stream, passes: 3 passes, speed: 8-12 cm/s"), Some([1.0, 2.25]));
        assert_eq!(dwells("agent: coolant stream, dwell: 2 s"), Some([2.0, 2.0]));
        for unknown in ["agent: ice edge, passes: 2 passes", "agent: ice edge, speed: 2 cm/s"] {
            assert_eq!(dwells(unknown), None, "{unknown}");
        }
    }
}

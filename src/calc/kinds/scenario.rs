//! `heat`, `cold`, `cold-stream`: what a step of a protocol does, from the words that a pack uses.
//!
//! The three ways of blood flow are all told; the numbers at the top are those of the worst.

use super::Kind;
use super::runs::series;
use crate::calc::inputs::Inputs;
use crate::calc::outcome::Outcome;
use crate::compute::thermal::constants::{Apparatus, BURN, BURN_FIRST, CONTACT_FROM, From, cover as layer, source as entry};
use crate::compute::thermal::run::{PRODUCTION, run};
use crate::compute::thermal::scenario::{self, COLD_LEVELS, Exposure, Moving, Resting, Scenario};
use crate::compute::thermal::stack::Perfusion;
use crate::model::unit::Dim;
use crate::model::vocabulary::{Cover, ThermalSource};
use serde_json::{Map, Value};

const RESTING: &[&str] = &["source", "start_C", "cover", "layers", "time_s", "site", "lying-on-it"];

/// The kinds.
pub static KINDS: &[Kind] = &[
    Kind {
        name: "heat",
        summary: "a source of heat that lies on covered skin: temperatures, damage, safe time and margin",
        keys: RESTING,
        run: |inputs| resting(inputs, true),
    },
    Kind {
        name: "cold",
        summary: "cold that rests on one spot, or ice stroked over it: temperatures, times below each level, re-warming",
        keys: RESTING,
        run: |inputs| resting(inputs, false),
    },
    Kind {
        name: "cold-stream",
        summary: "cold that moves along the skin in passes: what one spot meets",
        keys: &["source", "footprint_m", "speed_m_s", "dwell_s", "passes", "gap_s", "site"],
        run: moving,
    },
];

/// Words of the trade for a source that the vocabulary of packs calls otherwise.
const OTHER_SOURCES: [(&str, ThermalSource); 3] =
    [("moist pack", ThermalSource::ClayPack), ("cold pack", ThermalSource::IcePack), ("ice massage", ThermalSource::MovingIce)];

/// The same for covers.
const OTHER_COVERS: [(&str, Cover); 1] = [("dry towel", Cover::PressedTowel)];

fn source(inputs: &Inputs<'_>, fits: fn(ThermalSource) -> bool) -> Option<ThermalSource> {
    let own = ThermalSource::ALL.iter().map(|s| (s.word(), *s));
    let words: Vec<(&str, ThermalSource)> = own.chain(OTHER_SOURCES).filter(|(_, s)| fits(*s)).collect();
    inputs.word("source", &words)
}

fn cover(inputs: &Inputs<'_>) -> Option<Cover> {
    let words: Vec<(&str, Cover)> = Cover::ALL.iter().map(|c| (c.word(), *c)).chain(OTHER_COVERS).collect();
    inputs.word("cover", &words)
}

fn limb(inputs: &Inputs<'_>, usual: bool) -> Option<bool> {
    if inputs.given("site") { inputs.word("site", &[("trunk", false), ("limb", true)]) } else { Some(usual) }
}

fn resting(inputs: &Inputs<'_>, heat: bool) -> Option<Outcome> {
    let source = source(inputs, if heat { |s| s.is_heat() } else { |s| !s.is_heat() && s != ThermalSource::ColdStream });
    let start = source.and_then(|s| start(inputs, s));
    let cover = cover(inputs);
    let layers = match cover {
        Some(Cover::None) if !inputs.given("layers") => Some(0),
        _ => inputs.count("layers", Dim::Layers, 0, 20),
    };
    let seconds = inputs.number("time_s").and_then(|s| positive(inputs, "time_s", s, 86_400.0));
    let (limb, under) = (limb(inputs, !heat), inputs.flag("lying-on-it"));
    let (source, start, cover, layers) = (source?, start?, cover?, layers?);
    let (seconds, limb, under) = (seconds?, limb?, under?);
    if (cover == Cover::None) != (layers == 0) {
        return inputs.refuse(
            "layers",
            "does not go with `cover`",
            format!("`cover: {}` and {layers} layers contradict each other", cover.word()),
            "with `cover: none` leave `layers` out; with a cover give the number of its layers",
        );
    }
    let outcome = tell(inputs, &Scenario::Resting(Resting { source, start, cover, layers, seconds, limb, under }))?;
    Some(with_sources(outcome, source, cover))
}

/// Temperature as the source is laid on; what has a temperature of its own needs none, and takes no other.
fn start(inputs: &Inputs<'_>, source: ThermalSource) -> Option<f64> {
    let own = entry(source).and_then(|e| if let Apparatus::HeldAt(at) = e.is { Some(at) } else { None });
    let Some(own) = own else { return inputs.number("start_C") };
    match inputs.maybe("start_C")? {
        Some(given) if (given - own).abs() > 1e-9 => inputs.refuse(
            "start_C",
            "not its temperature",
            format!("`{}` is reckoned at {own} degC, and the sheet says {given} degC", source.word()),
            "leave `start` out, or name a source that is held at its own temperature: `frozen gel`",
        ),
        _ => Some(own),
    }
}

fn positive(inputs: &Inputs<'_>, key: &'static str, value: f64, most: f64) -> Option<f64> {
    if value >= 1e-3 && value <= most {
        return Some(value);
    }
    inputs.refuse(key, "not possible", format!("{value} s is outside what is possible here"), format!("possible: 0.001 to {most} s"))
}

fn moving(inputs: &Inputs<'_>) -> Option<Outcome> {
    let source = if inputs.given("source") { source(inputs, ThermalSource::moves) } else { Some(ThermalSource::ColdStream) };
    let dwell = if inputs.given("dwell_s") {
        let inputs = inputs.only(&["source", "dwell_s", "passes", "gap_s", "site"]);
        inputs.number("dwell_s")
    } else {
        let (footprint, speed) = (inputs.number("footprint_m"), inputs.number("speed_m_s"));
        footprint.zip(speed).map(|(length, speed)| length / speed)
    };
    let key = if inputs.given("dwell_s") { "dwell_s" } else { "footprint_m" };
    let dwell = dwell.and_then(|s| positive(inputs, key, s, 600.0));
    let passes = inputs.count("passes", Dim::Passes, 1, 50);
    let gap = if passes == Some(1) && !inputs.given("gap_s") { Some(0.0) } else { inputs.number("gap_s") };
    let (gap, limb) = (gap.and_then(|g| if g <= 3600.0 { Some(g) } else { positive(inputs, "gap_s", g, 3600.0) }), limb(inputs, true));
    let (source, dwell, passes, gap, limb) = (source?, dwell?, passes?, gap?, limb?);
    let mut outcome = tell(inputs, &Scenario::Moving(Moving { source, dwell, passes, gap, limb }))?;
    outcome.number("dwell_s", dwell);
    Some(with_sources(outcome, source, Cover::None))
}

fn tell(inputs: &Inputs<'_>, of: &Scenario) -> Option<Outcome> {
    let Some(exposure) = scenario::compute(of) else {
        return inputs.refuse("source", "no entry", "the model has no numbers for this source", "name another source");
    };
    let worst = exposure.worst();
    let mut out = Outcome { result: mode(worst, of), ..Outcome::default() };
    out.put("worst", Value::String(word(worst.mode).into()));
    if of.is_heat() {
        let used = exposure.used();
        out.maybe("safe_time_s", worst.safe).maybe("share_of_safe_time", used);
        out.maybe("margin", used.filter(|u| *u > 0.0).map(|u| 1.0 / u));
        if worst.safe.is_none() {
            out.note(format!("No limit is reached within the {} s that were searched.", of.searched()));
        }
    } else {
        out.maybe("rewarm_to_30_s", exposure.rewarm());
    }
    let modes = exposure.modes.iter().map(|o| (word(o.mode).to_string(), Value::Object(mode(o, of)))).collect();
    out.put("modes", Value::Object(modes)).put("series", series_of(&exposure)?);
    notes(&mut out, of);
    Some(out)
}

fn mode(o: &scenario::Outcome, of: &Scenario) -> Map<String, Value> {
    let mut out = Outcome::default();
    out.number("T_skin_rest_C", o.rest);
    if of.is_heat() {
        out.number("T_skin_max_C", o.skin_max).number("T_basal_max_C", o.basal_max);
        out.number("time_skin_above_43_s", o.above_43).number("cem43_min", o.cem43).number("omega_henriques", o.burn);
        out.maybe("t_first_basal_43_s", o.first_43).maybe("t_omega_0p53_s", o.first_burn).maybe("safe_time_s", o.safe);
    } else {
        out.number("T_skin_min_C", o.skin_min).number("T_basal_min_C", o.basal_min);
        for (level, seconds) in COLD_LEVELS.iter().zip(o.below) {
            out.number(&format!("time_skin_below_{}_s", format!("{level:.1}").replace('.', "p")), seconds);
        }
        out.maybe("t_first_skin_13p6_s", o.first_numb).maybe("rewarm_to_30_s", o.rewarm);
    }
    out.result
}

/// Skin, basal layer and depths over time in the worst way of blood flow.
fn series_of(exposure: &Exposure) -> Option<Value> {
    let of = exposure.scenario.run(exposure.worst().mode)?;
    Some(Value::Object(series(&of, &run(&of, PRODUCTION), None)))
}

fn word(mode: Perfusion) -> &'static str {
    match mode {
        Perfusion::Responsive => "responsive",
        Perfusion::Basal => "basal",
        Perfusion::None => "none",
    }
}

fn notes(out: &mut Outcome, of: &Scenario) {
    // Words of the trade and what was left out were read as something: say as what.
    let site = |limb| if limb { "a limb" } else { "the trunk" };
    out.note(match of {
        Scenario::Resting(r) if r.layers == 0 => format!("Reckoned as {} on bare skin of {}.", r.source.word(), site(r.limb)),
        Scenario::Resting(r) => {
            format!("Reckoned as {} over {} of {} on {}.", r.source.word(), layers(r.layers), r.cover.word(), site(r.limb))
        }
        Scenario::Moving(m) => format!(
            "Reckoned as {}, {} s on one spot in a pass, on {}.",
            m.source.word(),
            crate::model::quantity::number(m.dwell),
            site(m.limb)
        ),
    });
    out.note("The numbers at the top are of the worst of three ways of blood flow: healthy skin, flow as at rest, no flow.");
    out.note("An adult with healthy skin. Children, thin or old skin, impaired flow or feeling are outside the model.");
    if of.is_heat() {
        out.note(format!("Safe time: the stricter of burn integral {BURN_FIRST} and contact thresholds, cool-down included; no margin of a house is in it."));
        out.note(told("Burn integral", &BURN)).note(told("Contact thresholds", &CONTACT_FROM));
    } else {
        out.note("Muscle under cold comes out too warm: at least this cold is likely. Re-warming: the slower of the two ways in which blood flows.");
    }
}

fn layers(n: u32) -> String {
    format!("{n} {}", if n == 1 { "layer" } else { "layers" })
}

fn with_sources(mut out: Outcome, source: ThermalSource, cover: Cover) -> Outcome {
    if let Some(entry) = entry(source) {
        out.note(told(source.word(), &entry.from));
    }
    if let Some((_, _, _, from)) = layer(cover) {
        out.note(told(cover.word(), &from));
    }
    out
}

fn told(what: &str, from: &From) -> String {
    format!("{what}: {} ({}).", from.source, from.status.word())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_other_word_is_none_of_the_vocabulary() {
        assert!(OTHER_SOURCES.iter().all(|(w, _)| ThermalSource::from_word(w).is_none()));
        assert!(OTHER_COVERS.iter().all(|(w, _)| Cover::from_word(w).is_none()));
    }
}

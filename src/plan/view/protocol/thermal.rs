//! What heat or cold does in a step, for people: one sentence, a curve, a table, the working.

use crate::compute::thermal::constants::{self, Apparatus, From};
use crate::compute::thermal::facts::Thermal;
use crate::compute::thermal::scenario::{COLD_LEVELS, Exposure, Moving, Outcome, RE_WARM, Resting, Scenario, contact};
use crate::compute::thermal::spoken::{degrees, safe, time};
use crate::compute::thermal::stack::Perfusion;
use crate::model::docs::HouseThermal;
use crate::model::quantity::number;
use crate::model::vocabulary::Cover;
use crate::plan::view::parts::Pair;
use serde::Serialize;

/// The computed exposure of a step.
#[derive(Debug, Serialize)]
pub struct ThermalView {
    /// The one sentence.
    pub sentence: String,
    /// The number for the card.
    pub card: String,
    /// For whom the numbers are not worked out, in few words.
    pub not_for: Vec<&'static str>,
    /// For how long the skin counts as numb after cold, and what that forbids.
    pub numb: Option<String>,
    /// Why the numbers may not hold here.
    pub beyond: Vec<&'static str>,
    /// The curve.
    pub curve: CurveView,
    /// Heads of the table.
    pub heads: Vec<&'static str>,
    /// One row for each way of blood flow.
    pub rows: Vec<Vec<String>>,
    /// What went in.
    pub inputs: Vec<Pair>,
    /// Formula in words, a line each.
    pub formula: Vec<&'static str>,
    /// Constants with their source.
    pub constants: Vec<ConstantView>,
    /// What the model cannot say.
    pub bounds: Vec<&'static str>,
}

/// A constant.
#[derive(Debug, Serialize)]
pub struct ConstantView {
    /// Name.
    pub name: String,
    /// Value.
    pub value: String,
    /// Source, and how far it was followed.
    pub source: String,
}

/// A drawing of skin temperature over time, in units of the view box.
#[derive(Debug, Serialize)]
pub struct CurveView {
    /// Width of the view box.
    pub width: f64,
    /// Height of the view box.
    pub height: f64,
    /// Left, right, top and bottom edge of the field inside it.
    pub field: (f64, f64, f64, f64),
    /// Words for who cannot see it.
    pub title: String,
    /// The time of the application: left edge and width.
    pub lies: (f64, f64),
    /// One line for each way of blood flow: class, label, points.
    pub lines: Vec<(&'static str, &'static str, String)>,
    /// Limits: height and label.
    pub limits: Vec<(f64, String)>,
    /// Marks of time: place and label.
    pub times: Vec<(f64, String)>,
    /// Marks of temperature: height and label.
    pub temperatures: Vec<(f64, String)>,
}

/// The view of an exposure.
pub fn view(thermal: &Thermal, numb: Option<f64>, house: &HouseThermal) -> ThermalView {
    let e = &thermal.exposure;
    let (sentence, card) = if e.scenario.is_heat() { heat_words(e, house) } else { cold_words(e, numb) };
    let (heads, rows) = if e.scenario.is_heat() { heat_table(e) } else { cold_table(e) };
    ThermalView {
        sentence,
        card,
        not_for: thermal.beyond.iter().map(|b| b.short()).collect(),
        numb: numb.filter(|_| !e.scenario.is_heat()).map(|t| format!("skin counts as numb for {}: no pressure or squeeze", time(t))),
        beyond: thermal.beyond.iter().map(|b| b.words()).collect(),
        curve: curve(e, house),
        heads,
        rows,
        inputs: inputs(&e.scenario),
        formula: formula(e.scenario.is_heat()),
        constants: constants_of(&e.scenario),
        bounds: bounds(e.scenario.is_heat()),
    }
}

fn share(x: f64) -> String {
    if x.is_finite() { number((x * 100.0).round() / 100.0) } else { "more than all".into() }
}

fn heat_words(e: &Exposure, house: &HouseThermal) -> (String, String) {
    let worst = e.worst();
    let peak = degrees(worst.skin_max);
    let lies = time(e.scenario.lasts());
    let (used, most) = match e.used().zip(worst.safe) {
        Some((used, safe_time)) => {
            let most = (safe_time / house.heat_factor.value / 60.0).floor() * 60.0;
            (format!("{lies} is {} of the safe time of {}", share(used), safe(e, worst)), format!(", at most {}", time(most)))
        }
        None => (format!("no limit is reached within {}; the limits of the house stay", time(e.scenario.searched())), String::new()),
    };
    (format!("Modelled skin peak {peak} with every layer in place; {used}."), format!("skin peak {peak} with every layer in place{most}"))
}

fn cold_words(e: &Exposure, numb: Option<f64>) -> (String, String) {
    let worst = e.worst();
    let low = degrees(worst.skin_min);
    let dulled = match worst.below[1] {
        t if t > 0.0 => format!("skin is below 13.6\u{a0}°C, under which one study found pain dulled, for {}", time(t)),
        _ => "skin stays above 13.6\u{a0}°C, under which one study found pain dulled".to_string(),
    };
    let numb = numb.map_or_else(String::new, |t| format!("counts as numb for {}: no pressure or squeeze there", time(t)));
    (format!("Modelled lowest skin temperature {low}; {dulled}; {numb}."), format!("lowest skin {low}"))
}

fn flow(mode: Perfusion) -> &'static str {
    match mode {
        Perfusion::Responsive => "healthy skin",
        Perfusion::Basal => "flow as at rest",
        Perfusion::None => "no flow",
    }
}

fn heat_table(e: &Exposure) -> (Vec<&'static str>, Vec<Vec<String>>) {
    let heads = vec![
        "Blood flow",
        "Skin peak",
        "Basal layer peak",
        "Skin above 43 °C",
        "Minutes at 43 °C (CEM43)",
        "Burn integral",
        "Until a limit",
    ];
    let row = |o: &Outcome| {
        vec![
            flow(o.mode).to_string(),
            degrees(o.skin_max),
            degrees(o.basal_max),
            time(o.above_43),
            format!("{:.2}", o.cem43),
            format!("{:.4} of 0.53 (with the SI constants {:.4})", o.burn, o.burn_si),
            safe(e, o),
        ]
    };
    (heads, e.modes.iter().map(row).collect())
}

fn cold_table(e: &Exposure) -> (Vec<&'static str>, Vec<Vec<String>>) {
    let heads = vec![
        "Blood flow",
        "Lowest skin",
        "Lowest basal layer",
        "Below 15 °C",
        "Below 13.6 °C",
        "Below 10 °C",
        "Below 0 °C",
        "Warm again (30 °C)",
    ];
    debug_assert_eq!(COLD_LEVELS.len(), 4);
    let row = |o: &Outcome| {
        let mut cells = vec![flow(o.mode).to_string(), degrees(o.skin_min), degrees(o.basal_min)];
        cells.extend(o.below.iter().map(|t| time(*t)));
        cells.push(o.rewarm.map_or_else(|| format!("not within {}", time(RE_WARM)), time));
        cells
    };
    (heads, e.modes.iter().map(row).collect())
}

fn pair(label: &str, text: impl Into<String>) -> Pair {
    Pair { label: label.into(), text: text.into() }
}

fn at_start() -> Pair {
    pair("Covers and room at the start", degrees(constants::ROOM))
}

fn rest() -> Pair {
    pair("Body at the start", "at rest in the room, with the blood flow of rest in all three rows")
}

fn inputs(scenario: &Scenario) -> Vec<Pair> {
    let site = |limb: bool| pair("Where, the worse if there are two", if limb { "limb" } else { "trunk, neck or head" });
    match scenario {
        Scenario::Resting(Resting { source, start, cover, layers, seconds, limb, under }) => {
            let own = constants::source(*source).is_some_and(|s| matches!(s.is, Apparatus::HeldAt(_)));
            let mut out = vec![pair("Source", source.word())];
            if !own {
                let end = if source.is_heat() { "hottest" } else { "coldest" };
                out.push(pair(&format!("Temperature at the start, {end} of the range"), degrees(*start)));
            }
            let between = if *cover == Cover::None { "nothing".into() } else { format!("{layers} × {}", cover.word()) };
            out.extend([
                pair("Between source and skin, fewest layers", between),
                pair("Time, longest of the range", time(*seconds)),
                site(*limb),
                at_start(),
                rest(),
            ]);
            if *under {
                out.push(pair("Lying", "the person lies on it: its back is kept warm"));
            }
            out
        }
        Scenario::Moving(Moving { source, dwell, passes, gap, limb }) => vec![
            pair("Source", source.word()),
            pair("On a spot in one pass, longest", format!("{}\u{a0}s", number((dwell * 1000.0).round() / 1000.0))),
            pair("Passes, most of the range", passes.to_string()),
            pair(
                "Between passes, shortest",
                format!("{} (length of a line over speed, less the time on the spot: one line is done pass after pass)", time(*gap)),
            ),
            site(*limb),
            rest(),
        ],
    }
}

fn formula(heat: bool) -> Vec<&'static str> {
    let mut out = vec![
        "Heat flows between neighbouring layers in proportion to their difference in temperature and to the conductance between them; each layer warms by what comes in over its heat capacity (Pennes 1948: blood brings heat in proportion to its flow and to the difference from arterial blood).",
        "About 110 cells and 200 steps (TR-BDF2); halving both moves no number here by more than 1 %.",
        "Three ways of blood flow are computed; the worst is judged.",
    ];
    if heat {
        out.extend([
            "Burn integral: A exp(-(E/R)/T) summed over time at the basal layer, T in K. Minutes at 43 °C (Sapareto and Dewey 1984): 0.5 to the power (43 - T) for each minute from 43 °C, 0.25 to the power (43 - T) from 39 to 43 °C.",
            "Safe time: the longest time for which, cooling down included, the burn integral stays at or under 0.53 and skin is above 43 °C for at most 10 min, above 48 °C for at most 1 min and never above 51 °C. The stricter counts.",
        ]);
    } else {
        out.push("Times below a level and until the skin is warm again are read off the curve; a source that moves meets a spot for footprint over speed.");
    }
    out
}

fn sourced(from: From) -> String {
    format!("{} ({})", from.source, from.status.word())
}

fn constants_of(scenario: &Scenario) -> Vec<ConstantView> {
    let mut out: Vec<ConstantView> = Vec::new();
    let mut add = |name: String, value: String, from: From| out.push(ConstantView { name, value, source: sourced(from) });
    let (kind, cover) = match scenario {
        Scenario::Resting(r) => (r.source, r.cover),
        Scenario::Moving(m) => (m.source, Cover::None),
    };
    let stuff = |m: crate::compute::thermal::stack::Material| {
        format!("k {} W/(m K), {} kg/m3, {} J/(kg K)", number(m.k), number(m.rho), number(m.c))
    };
    let thick = |metres: f64| format!("{} mm", number(metres * 1000.0));
    if let Some(source) = constants::source(kind) {
        let is = match source.is {
            Apparatus::Slab(material, thickness) => format!("{}, {}", thick(thickness), stuff(material)),
            Apparatus::Held => "stays at its temperature".into(),
            Apparatus::HeldAt(at) => format!("stays at {}", degrees(at)),
        };
        let film = match scenario {
            Scenario::Resting(r) => contact(r).unwrap_or(source.film),
            Scenario::Moving(_) => source.film,
        };
        add(kind.word().into(), format!("{is}; joint below it {} W/(m2 K)", number(film)), source.from);
    }
    if let Some((material, thickness, joint, from)) = constants::cover(cover) {
        add(cover.word().into(), format!("{}, {}; joint {} W/(m2 K)", thick(thickness), stuff(material), number(joint)), from);
    }
    for layer in constants::BODY {
        let blood = format!("blood {} /s, made {} W/m3", layer.perfusion, number(layer.metabolic));
        add(layer.name.into(), format!("{}, {}, {blood}", thick(layer.thickness), stuff(layer.material)), layer.from);
    }
    let curves: [(&str, &[(f64, f64)]); 3] =
        [("skin", &constants::FLOW_SKIN), ("fat", &constants::FLOW_FAT), ("muscle", &constants::FLOW_MUSCLE)];
    for (tissue, points) in curves {
        let value: Vec<String> = points.iter().map(|(t, m)| format!("{} °C {}", number(*t), number(*m))).collect();
        let source = "times the flow at rest, straight between and level beyond; followed with the lag below".to_string();
        out.push(ConstantView { name: format!("Blood flow in healthy {tissue}"), value: value.join(", "), source });
    }
    let mut add = |name: String, value: String, from: From| out.push(ConstantView { name, value, source: sourced(from) });
    for (name, value, from) in constants::SURROUNDINGS {
        add(name.into(), value.into(), from);
    }
    if scenario.is_heat() {
        add("Burn integral".into(), "A 3.1e98 /s, E/R 75,000 K".into(), constants::BURN);
        add("Contact thresholds".into(), "43 °C 10 min, 48 °C 1 min, 51 °C not at all".into(), constants::CONTACT_FROM);
    }
    out
}

fn bounds(heat: bool) -> Vec<&'static str> {
    let common = "The model is of healthy adult skin on an average body. It says nothing sure about children, thin or old skin, poor blood flow or poor feeling: there the adult limit must not be used.";
    if heat {
        vec![
            common,
            "The skin is good to about 2 K against measurements. The resistance of the cover decides: another towel, a damp one or one pressed flat changes the result more than anything else.",
            "A pack counts by its hottest spot. Unevenly heated bags are hotter than the thermometer says.",
            "A result below the limit is no permission: the person's feeling, the look of the skin and local rules come first.",
        ]
    } else {
        vec![
            common,
            "Skin in the cold is good to about 2 K against measurements; muscle is likely colder than any model of flat layers says.",
            "Water left on the skin and its drying are left out: skin that stays wet gets colder and warms far more slowly.",
            "Freezing of tissue is left out: below -0.55 °C the time below is the message, not the temperature.",
            "A result above the floor is no permission: the look of the skin, the person's feeling and local rules come first.",
        ]
    }
}

const WIDTH: f64 = 360.0;
const HEIGHT: f64 = 230.0;
const LEFT: f64 = 30.0;
const RIGHT: f64 = 22.0;
const TOP: f64 = 18.0;
const BOTTOM: f64 = 34.0;

/// Axes of a drawing.
struct Axes {
    until: f64,
    low: f64,
    high: f64,
}

impl Axes {
    fn x(&self, t: f64) -> f64 {
        round(LEFT + (WIDTH - LEFT - RIGHT) * t / self.until)
    }

    fn y(&self, temperature: f64) -> f64 {
        round(TOP + (HEIGHT - TOP - BOTTOM) * (self.high - temperature) / (self.high - self.low))
    }
}

fn round(x: f64) -> f64 {
    (x * 10.0).round() / 10.0
}

fn curve(e: &Exposure, house: &HouseThermal) -> CurveView {
    let lasts = e.scenario.lasts();
    let end = e.modes.iter().filter_map(|o| o.curve.last()).map(|p| p.0).fold(lasts, f64::max);
    // After cold that moves the first minute tells the story.
    let until = end.min(if lasts < 60.0 { lasts + 60.0 } else { lasts * 2.0 });
    let limits = limits(e, house);
    let levels = e.modes.iter().flat_map(|o| o.curve.iter().map(|p| p.1)).chain(limits.iter().map(|l| l.0));
    let (low, high) = levels.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), t| (a.min(t), b.max(t)));
    let axes = Axes { until, low: (low / 5.0).floor() * 5.0, high: (high / 5.0).ceil() * 5.0 };
    let classes = ["c-healthy", "c-rest", "c-none"];
    let lines = e.modes.iter().zip(classes).map(|(o, class)| (class, flow(o.mode), points(o, &axes))).collect();
    CurveView {
        width: WIDTH,
        height: HEIGHT,
        field: (LEFT, WIDTH - RIGHT, TOP, HEIGHT - BOTTOM),
        title: "Modelled skin temperature over time for three ways of blood flow; the table below says the same.".into(),
        lies: (axes.x(0.0), round(axes.x(lasts.min(until)) - axes.x(0.0))),
        lines,
        limits: limits.into_iter().map(|(t, label)| (axes.y(t), label)).collect(),
        times: ticks(0.0, until, 4.0).into_iter().map(|t| (axes.x(t), time(t))).collect(),
        temperatures: ticks(axes.low, axes.high, 6.0).into_iter().map(|t| (axes.y(t), number(t))).collect(),
    }
}

fn limits(e: &Exposure, house: &HouseThermal) -> Vec<(f64, String)> {
    match &e.scenario {
        s if s.is_heat() => vec![(43.0, "43 °C".into()), (48.0, "48 °C".into())],
        Scenario::Moving(_) => {
            vec![(house.stream_floor.value, format!("floor {}", house.stream_floor.shown())), (13.6, "13.6 °C".into())]
        }
        Scenario::Resting(_) => {
            vec![(house.cold_floor.value, format!("floor {}", house.cold_floor.shown())), (13.6, "13.6 °C".into())]
        }
    }
}

fn points(o: &Outcome, axes: &Axes) -> String {
    let shown = o.curve.iter().filter(|p| p.0 <= axes.until);
    shown.map(|(t, y)| format!("{},{}", axes.x(*t), axes.y(*y))).collect::<Vec<_>>().join(" ")
}

/// Round marks on an axis, about `many` of them.
fn ticks(low: f64, high: f64, many: f64) -> Vec<f64> {
    let rough = (high - low) / many;
    let steps = [1.0, 2.0, 5.0, 10.0, 20.0, 30.0, 60.0, 120.0, 300.0, 600.0, 1200.0, 1800.0, 3600.0];
    let step = steps.into_iter().find(|s| *s >= rough).unwrap_or(3600.0);
    let mut out = Vec::new();
    let mut at = (low / step).ceil() * step;
    while at <= high + 1e-9 {
        out.push(at);
        at += step;
    }
    out
}

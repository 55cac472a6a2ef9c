//! Runs of the layered body in exact form: scenarios, rest, safe times, published measurements.

use super::Kind;
use super::body::{First, body, run as read_run};
use super::damage::SI_NOTE;
use crate::calc::inputs::Inputs;
use crate::calc::outcome::{Outcome, number};
use crate::compute::thermal::damage::{Dose, HENRIQUES, HENRIQUES_SI, Line, TWO_RANGE};
use crate::compute::thermal::history::History;
use crate::compute::thermal::run::{PRODUCTION, rest, run};
use crate::compute::thermal::safe::{Limit, longest};
use crate::compute::thermal::stack::Run;
use serde_json::{Map, Value};

const KEYS: &[&str] = &[
    "room_C",
    "core_C",
    "rest_skin_W_m2K",
    "blood",
    "tissue",
    "perfusion",
    "cover_T0_C",
    "phases",
    "response",
    "tau_s",
    "tau_recover_s",
    "series_t_s",
];

/// The kinds.
pub static KINDS: &[Kind] = &[
    Kind {
        name: "scenario-heat",
        summary: "skin and basal layer under heat: peak, time above 43 degC, damage, first crossings, series",
        keys: KEYS,
        run: heat,
    },
    Kind {
        name: "scenario-cold",
        summary: "skin and basal layer under cold: lowest, time below 15, 13.6, 10, 0, -0.55 degC, re-warming, series",
        keys: KEYS,
        run: cold,
    },
    Kind {
        name: "layered-exact",
        summary: "temperatures of the faces of skin, basal layer and fat at given times",
        keys: &[
            "room_C",
            "core_C",
            "rest_skin_W_m2K",
            "blood",
            "tissue",
            "perfusion",
            "cover_T0_C",
            "phases",
            "response",
            "tau_s",
            "tau_recover_s",
            "t_s",
        ],
        run: layered,
    },
    Kind {
        name: "rest-state",
        summary: "bare skin at rest in the room: temperatures of the faces and heat loss",
        keys: &["room_C", "core_C", "rest_skin_W_m2K", "blood", "tissue", "perfusion"],
        run: at_rest,
    },
    Kind {
        name: "safe-time",
        summary: "longest first phase whose total, cool-down included, stays at a limit",
        keys: &[
            "room_C",
            "core_C",
            "rest_skin_W_m2K",
            "blood",
            "tissue",
            "perfusion",
            "cover_T0_C",
            "phases",
            "response",
            "tau_s",
            "tau_recover_s",
            "find",
        ],
        run: safe,
    },
    Kind {
        name: "threshold-surface-held",
        summary: "exposure of a held skin surface that gives a burn integral of 1, over the published time",
        keys: &[
            "room_C",
            "core_C",
            "rest_skin_W_m2K",
            "blood",
            "tissue",
            "perfusion",
            "cover_T0_C",
            "phases",
            "response",
            "tau_s",
            "tau_recover_s",
            "published_necrosis_s",
        ],
        run: surface_held,
    },
    Kind {
        name: "published-measurement",
        summary: "skin and deep temperatures as they were measured on people",
        keys: &[
            "room_C",
            "core_C",
            "rest_skin_W_m2K",
            "blood",
            "tissue",
            "perfusion",
            "cover_T0_C",
            "phases",
            "response",
            "tau_s",
            "tau_recover_s",
            "read_at_s",
        ],
        run: measured,
    },
];

fn heat(inputs: &Inputs<'_>) -> Option<Outcome> {
    let (of, times) = (read_run(inputs, First::Known), series_times(inputs));
    let (of, times) = (of?, times?);
    let h = run(&of, PRODUCTION);
    let basal = h.basal();
    let mut out = Outcome::default();
    out.maybe("T_skin_rest_C", h.skin.first().copied());
    out.maybe("T_basal_max_C", basal.highest()).maybe("T_skin_max_C", h.skin().highest());
    out.number("time_basal_above_43_s", basal.above(43.0));
    out.maybe("t_first_basal_43_s", basal.rises_to(43.0)).maybe("t_first_basal_44_s", basal.rises_to(44.0));
    out.number("omega_henriques", basal.total(Dose::Burn(HENRIQUES)));
    out.number("omega_henriques_si", basal.total(Dose::Burn(HENRIQUES_SI)));
    out.number("omega_two_range", basal.total(Dose::Blister(TWO_RANGE))).number("cem43_min", basal.total(Dose::Cem43));
    out.maybe("t_omega_0p53_s", basal.reaches(Dose::Burn(HENRIQUES), 0.53));
    out.maybe("t_omega_1_s", basal.reaches(Dose::Burn(HENRIQUES), 1.0));
    out.maybe("t_cem43_2_s", basal.reaches(Dose::Cem43, 2.0)).maybe("t_cem43_9_s", basal.reaches(Dose::Cem43, 9.0));
    out.put("series", Value::Object(series(&of, &h, times)));
    out.note(SI_NOTE);
    Some(out)
}

fn cold(inputs: &Inputs<'_>) -> Option<Outcome> {
    let (of, times) = (read_run(inputs, First::Known), series_times(inputs));
    let (of, times) = (of?, times?);
    let h = run(&of, PRODUCTION);
    let mut out = Outcome::default();
    out.maybe("T_skin_rest_C", h.skin.first().copied());
    out.maybe("T_skin_min_C", h.skin().lowest()).maybe("T_basal_min_C", h.basal().lowest());
    let levels = [("15p0", 15.0), ("13p6", 13.6), ("10p0", 10.0), ("0p0", 0.0), ("m0p55", -0.55)];
    for (name, level) in levels {
        out.number(&format!("time_skin_below_{name}_s"), h.skin().below(level));
    }
    let from = h.ends.iter().rev().nth(1);
    out.maybe("rewarm_to_30_s", from.and_then(|from| h.skin().back_to(30.0, *from)));
    out.put("series", Value::Object(series(&of, &h, times)));
    Some(out)
}

/// Times of the series if the sheet names them.
#[expect(clippy::option_option, reason = "the outer one: not readable, and reported; the inner one: not given")]
fn series_times(inputs: &Inputs<'_>) -> Option<Option<Vec<f64>>> {
    if inputs.given("series_t_s") { inputs.numbers("series_t_s", 1, 2000).map(Some) } else { Some(None) }
}

/// Times that suit the length of the first phase, with the phase ends where phases are seconds long.
fn usual_times(of: &Run, h: &History) -> Vec<f64> {
    let end = h.t.last().copied().unwrap_or(0.0) + 1e-9;
    let ends = of.phases.iter().scan(0.0, |sum, p| {
        *sum += p.duration;
        Some(*sum)
    });
    let mut times: Vec<f64> = if of.phases.first().is_some_and(|p| p.duration < 60.0) {
        [0.25, 0.5, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 10.0, 20.0, 30.0, 60.0, 120.0, 300.0].into_iter().chain(ends).collect()
    } else {
        vec![60.0, 300.0, 600.0, 1200.0]
    };
    times.retain(|t| *t <= end);
    times.sort_by(f64::total_cmp);
    times.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    times
}

pub fn series(of: &Run, h: &History, times: Option<Vec<f64>>) -> Map<String, Value> {
    let times = times.unwrap_or_else(|| usual_times(of, h));
    let lines = [
        ("T_skin_C", h.skin()),
        ("T_basal_C", h.basal()),
        ("T_1cm_C", h.depth(0)),
        ("T_2cm_C", h.depth(2)),
        ("T_fat_plus_1cm_C", h.muscle_1cm()),
    ];
    let mut out = Map::new();
    out.insert("t_s".into(), times.iter().copied().map(number).collect());
    out.extend(lines.into_iter().map(|(key, line)| (key.to_string(), read(line, &times))));
    out
}

/// Temperatures at times; nothing beyond the end of the run.
fn read(line: Line<'_>, times: &[f64]) -> Value {
    let end = line.t.last().copied().unwrap_or(0.0);
    times.iter().map(|t| if *t <= end + 1e-9 { line.at(*t).map_or(Value::Null, number) } else { Value::Null }).collect()
}

fn layered(inputs: &Inputs<'_>) -> Option<Outcome> {
    let (of, times) = (read_run(inputs, First::Known), inputs.numbers("t_s", 1, 2000));
    let (of, times) = (of?, times?);
    let h = run(&of, PRODUCTION);
    let mut out = Outcome::default();
    out.numbers("t_s", &times);
    out.put("T_skin_C", read(h.skin(), &times)).put("T_basal_C", read(h.basal(), &times));
    out.put("T_dermis_fat_C", read(h.dermis_fat(), &times));
    Some(out)
}

fn at_rest(inputs: &Inputs<'_>) -> Option<Outcome> {
    let (body, perfusion) = body(inputs)?;
    let r = rest(&Run { body, perfusion, responses: crate::compute::thermal::stack::Responses::default(), phases: Vec::new() }, PRODUCTION);
    let mut out = Outcome::default();
    out.number("T_skin_C", r.skin).number("T_basal_C", r.basal).number("T_dermis_fat_C", r.dermis_fat);
    out.number("T_fat_muscle_C", r.fat_muscle).number("heat_loss_W_m2", r.loss);
    Some(out)
}

fn safe(inputs: &Inputs<'_>) -> Option<Outcome> {
    let of = read_run(inputs, First::Sought);
    let find = inputs.object("find", &["quantity", "limit", "search_up_to_s"], |f| {
        let dose = f.word("quantity", &[("cem43_min", Dose::Cem43), ("omega_henriques", Dose::Burn(HENRIQUES))]);
        let (limit, most) = (f.between("limit", 1e-6, 1e6), f.number("search_up_to_s"));
        Some((Limit::Dose(dose?, limit?), most?))
    });
    let (of, (limit, most)) = (of?, find?);
    let mut out = Outcome::default();
    let time = longest(&of, &[limit], most, PRODUCTION);
    out.maybe("safe_time_s", time);
    if time.is_none() {
        out.note(format!("The limit is not reached within the {most} s that were searched."));
    }
    out.note("One limit alone is no safe time for a person: the stricter of burn integral and contact threshold holds, with the margin of the house.");
    Some(out)
}

fn surface_held(inputs: &Inputs<'_>) -> Option<Outcome> {
    let (of, published) = (read_run(inputs, First::Sought), inputs.number("published_necrosis_s"));
    let (of, published) = (of?, published?);
    let most = (10.0 * published).clamp(600.0, 86_400.0);
    let find = |rate| longest(&of, &[Limit::Dose(Dose::Burn(rate), 1.0)], most, PRODUCTION);
    let (time, si) = (find(HENRIQUES), find(HENRIQUES_SI));
    let mut out = Outcome::default();
    out.maybe("t_exposure_omega_1_s", time).maybe("ratio_to_published", time.map(|t| t / published));
    out.maybe("t_exposure_omega_1_si_s", si).maybe("ratio_si_to_published", si.map(|t| t / published));
    out.note(SI_NOTE);
    Some(out)
}

fn measured(inputs: &Inputs<'_>) -> Option<Outcome> {
    let (of, end) = (read_run(inputs, First::Known), inputs.number("read_at_s"));
    let (of, end) = (of?, end?);
    let h = run(&of, PRODUCTION);
    if h.t.last().is_none_or(|last| end > *last + 1e-9) {
        return inputs.refuse("read_at_s", "after the end", "the run is over by then", "write a time inside the phases");
    }
    let deep = h.depth(1);
    let change = deep.at(end).zip(deep.temp.first()).map(|(then, first)| then - first);
    let mut out = Outcome::default();
    out.maybe("T_skin_peak_C", h.skin().highest()).maybe("T_skin_at_end_C", h.skin().at(end));
    out.maybe("T_skin_rest_C", h.skin.first().copied()).maybe("T_1p5cm_change_K", change);
    Some(out)
}

//! The thermal computation against reference cases: closed forms, exact layered solutions, converged
//! runs of a second program, published measurements. Cases, sources and tolerances stand in
//! `reference/thermal`.

#![allow(clippy::unwrap_used, clippy::panic, reason = "tests stop where something is missing")]

use fascicle::compute::thermal::chain::End;
use fascicle::compute::thermal::damage::{Dose, HENRIQUES, HENRIQUES_SI, Line, TWO_RANGE, TWO_RANGE_DERMAL, cem43_rate};
use fascicle::compute::thermal::history::History;
use fascicle::compute::thermal::run::{PRODUCTION, rest, run};
use fascicle::compute::thermal::safe::{Limit, longest};
use fascicle::compute::thermal::simple::{Uniform, contact, far, lumped, series};
use fascicle::compute::thermal::stack::{Body, Cover, Curve, Material, Meets, Pack, Perfusion, Phase, Response, Responses, Run, Tissue};
use serde_json::{Map, Value, json};
use std::path::Path;

fn number(v: &Value, key: &str) -> f64 {
    v[key].as_f64().unwrap_or_else(|| panic!("{key} in {v}"))
}

fn material(v: &Value) -> Material {
    Material { k: number(v, "k_W_mK"), rho: number(v, "rho_kg_m3"), c: number(v, "c_J_kgK") }
}

fn body(v: &Value) -> Body {
    let tissue = |t: &Value| Tissue {
        material: material(t),
        thickness: number(t, "thickness_m"),
        perfusion: number(t, "perfusion_1_s"),
        metabolic: number(t, "metabolic_W_m3"),
        response: match t["response"].as_str().unwrap() {
            "skin" => Response::Skin,
            "fat" => Response::Fat,
            "muscle" => Response::Muscle,
            _ => Response::None,
        },
    };
    Body {
        room: number(v, "room_C"),
        core: number(v, "core_C"),
        rest_skin: number(v, "rest_skin_W_m2K"),
        blood: number(&v["blood"], "rho_kg_m3") * number(&v["blood"], "c_J_kgK"),
        tissue: v["tissue"].as_array().unwrap().iter().map(tissue).collect(),
    }
}

fn phase(v: &Value, room: f64, cover_start: f64) -> Phase {
    let contact = |v: &Value| v["contact_W_m2K"].as_f64();
    let pack = |p: &Value| match p["kind"].as_str().unwrap() {
        "slab" => Pack::Slab { material: material(p), thickness: number(p, "thickness_m"), start: number(p, "T0_C"), contact: contact(p) },
        "held" => Pack::Held { at: number(p, "T_C"), contact: contact(p) },
        _ => Pack::Lumped {
            capacity: number(p, "heat_capacity_J_m2K"),
            start: number(p, "T0_C"),
            power: number(p, "power_W_m2"),
            contact: contact(p),
        },
    };
    let cover = |c: &Value| Cover { material: material(c), thickness: number(c, "thickness_m"), contact: contact(c) };
    let meets = if v["bare"].is_object() {
        Meets::Bare { h: number(&v["bare"], "h_W_m2K"), at: v["bare"]["T_C"].as_f64().unwrap_or(room) }
    } else {
        Meets::Covered {
            pack: v["pack"].is_object().then(|| pack(&v["pack"])),
            covers: v["covers"].as_array().unwrap().iter().map(cover).collect(),
            cover_start,
            outer: number(v, "outer_W_m2K"),
        }
    };
    Phase { duration: v["duration_s"].as_f64().unwrap_or(0.0), meets }
}

fn run_of(v: &Value) -> Run {
    let curve = |v: &Value| {
        let list = |key: &str| v[key].as_array().cloned().unwrap_or_default();
        let pairs = list("T_C").into_iter().zip(list("multiplier"));
        Curve { points: pairs.map(|(t, m)| (t.as_f64().unwrap(), m.as_f64().unwrap())).collect() }
    };
    let response = &v["response"];
    let room = number(v, "room_C");
    let phases = v["phases"].as_array().cloned().unwrap_or_default();
    Run {
        body: body(v),
        perfusion: match v["perfusion"].as_str().unwrap() {
            "responsive" => Perfusion::Responsive,
            "none" => Perfusion::None,
            _ => Perfusion::Basal,
        },
        responses: Responses {
            skin: curve(&response["skin"]),
            fat: curve(&response["fat"]),
            muscle: curve(&response["muscle"]),
            lag: v["tau_s"].as_f64().unwrap_or(240.0),
            lag_recover: v["tau_recover_s"].as_f64().unwrap_or(1800.0),
        },
        phases: phases.iter().map(|p| phase(p, room, v["cover_T0_C"].as_f64().unwrap_or(room))).collect(),
    }
}

fn times(v: &Value) -> Vec<f64> {
    v.as_array().map(|a| a.iter().filter_map(Value::as_f64).collect()).unwrap_or_default()
}

fn read(line: Line<'_>, at: &[f64]) -> Vec<f64> {
    at.iter().map(|t| line.at(*t).unwrap()).collect()
}

fn level_name(level: f64) -> String {
    format!("{level:.1}").replace('.', "p").replace('-', "m")
}

fn heat(h: &History) -> Value {
    let basal = h.basal();
    json!({
        "T_skin_rest_C": h.skin[0], "T_basal_max_C": basal.highest(), "T_skin_max_C": h.skin().highest(),
        "time_basal_above_43_s": basal.above(43.0), "t_first_basal_43_s": basal.rises_to(43.0), "t_first_basal_44_s": basal.rises_to(44.0),
        "omega_henriques": basal.total(Dose::Burn(HENRIQUES)), "omega_henriques_si": basal.total(Dose::Burn(HENRIQUES_SI)),
        "omega_two_range": basal.total(Dose::Blister(TWO_RANGE)), "cem43_min": basal.total(Dose::Cem43),
        "t_omega_0p53_s": basal.reaches(Dose::Burn(HENRIQUES), 0.53), "t_omega_1_s": basal.reaches(Dose::Burn(HENRIQUES), 1.0),
        "t_cem43_2_s": basal.reaches(Dose::Cem43, 2.0), "t_cem43_9_s": basal.reaches(Dose::Cem43, 9.0),
    })
}

fn cold(h: &History) -> Value {
    let mut out = json!({ "T_skin_rest_C": h.skin[0], "T_skin_min_C": h.skin().lowest(), "T_basal_min_C": h.basal().lowest() });
    for level in [15.0, 13.6, 10.0, 0.0] {
        out[format!("time_skin_below_{}_s", level_name(level))] = json!(h.skin().below(level));
    }
    out["time_skin_below_m0p55_s"] = json!(h.skin().below(-0.55));
    let from = h.ends[h.ends.len() - 2];
    out["rewarm_to_30_s"] = json!(h.skin().back_to(30.0, from));
    out
}

fn scenario(v: &Value, expected: &Map<String, Value>, is_cold: bool) -> Value {
    let h = run(&run_of(v), PRODUCTION);
    let mut out = if is_cold { cold(&h) } else { heat(&h) };
    if let Some(series) = expected.get("series") {
        let at = times(&series["t_s"]);
        out["series"] = json!({ "t_s": at, "T_skin_C": read(h.skin(), &at), "T_basal_C": read(h.basal(), &at), "T_1cm_C": read(h.depth(0), &at),
            "T_2cm_C": read(h.depth(2), &at), "T_fat_plus_1cm_C": read(h.muscle_1cm(), &at) });
    }
    out
}

fn measured(v: &Value, expected: &Map<String, Value>) -> Value {
    let h = run(&run_of(v), PRODUCTION);
    let end = v["read_at_s"].as_f64().unwrap_or(h.ends[0]);
    let mut out = json!({ "T_skin_peak_C": h.skin().highest(), "T_skin_at_end_C": h.skin().at(end), "T_skin_rest_C": h.skin[0] });
    if expected.contains_key("T_1p5cm_change_K") {
        out["T_1p5cm_change_K"] = json!(h.depth(1).at(end).unwrap() - h.depths[1][0]);
    }
    out
}

fn safe(v: &Value) -> Value {
    let find = &v["find"];
    let limit = number(find, "limit");
    let dose = match find["quantity"].as_str().unwrap() {
        "cem43_min" => Dose::Cem43,
        "omega_henriques" => Dose::Burn(HENRIQUES),
        other => panic!("{other}"),
    };
    json!({ "safe_time_s": longest(&run_of(v), &[Limit::Dose(dose, limit)], number(find, "search_up_to_s"), PRODUCTION) })
}

fn held(v: &Value) -> Value {
    let run = run_of(v);
    let published = number(v, "published_necrosis_s");
    let find = |a| longest(&run, &[Limit::Dose(Dose::Burn(a), 1.0)], 600.0, PRODUCTION).unwrap();
    let (t, si) = (find(HENRIQUES), find(HENRIQUES_SI));
    json!({ "t_exposure_omega_1_s": t, "ratio_to_published": t / published, "t_exposure_omega_1_si_s": si, "ratio_si_to_published": si / published })
}

fn layered(v: &Value) -> Value {
    let h = run(&run_of(v), PRODUCTION);
    let at = times(&v["t_s"]);
    json!({ "T_skin_C": read(h.skin(), &at), "T_basal_C": read(h.basal(), &at), "T_dermis_fat_C": read(h.dermis_fat(), &at) })
}

fn at_rest(v: &Value) -> Value {
    let r = rest(&run_of(v), PRODUCTION);
    json!({ "T_skin_C": r.skin, "T_basal_C": r.basal, "T_dermis_fat_C": r.dermis_fat, "T_fat_muscle_C": r.fat_muscle, "heat_loss_W_m2": r.loss })
}

fn isothermal(v: &Value) -> Value {
    let t = number(v, "T_C");
    let time = |rate: f64, limit: f64| (rate > 0.0).then(|| limit / rate);
    let (a, si, two) = (HENRIQUES.rate(t), HENRIQUES_SI.rate(t), TWO_RANGE.rate(t));
    json!({ "henriques_rate_1_s": a, "henriques_si_rate_1_s": si, "two_range_rate_1_s": two, "two_range_dermal_rate_1_s": TWO_RANGE_DERMAL.rate(t),
        "henriques_t_omega_1_s": time(a, 1.0), "henriques_t_omega_0p53_s": time(a, 0.53), "henriques_si_t_omega_1_s": time(si, 1.0),
        "two_range_t_omega_1_s": time(two, 1.0), "cem43_per_minute": cem43_rate(t) })
}

fn past(v: &Value) -> Value {
    let (t, temp) = (times(&v["t_s"]), times(&v["T_C"]));
    let line = Line { t: &t, temp: &temp };
    json!({ "omega_henriques": line.total(Dose::Burn(HENRIQUES)), "omega_henriques_si": line.total(Dose::Burn(HENRIQUES_SI)),
        "omega_two_range": line.total(Dose::Blister(TWO_RANGE)), "cem43_min": line.total(Dose::Cem43), "time_above_43_s": line.above(43.0),
        "time_below_15_s": line.below(15.0), "time_below_0_s": line.below(0.0), "t_first_43_s": line.rises_to(43.0),
        "t_first_below_13p6_s": line.falls_to(13.6) })
}

fn threshold(v: &Value) -> Value {
    let (t, necrosis) = (number(v, "T_C"), number(v, "published_necrosis_s"));
    json!({ "ratio_henriques_to_necrosis": 1.0 / HENRIQUES.rate(t) / necrosis, "ratio_henriques_si_to_necrosis": 1.0 / HENRIQUES_SI.rate(t) / necrosis,
        "ratio_two_range_to_necrosis": 1.0 / TWO_RANGE.rate(t) / necrosis, "cem43_at_necrosis_min": cem43_rate(t) * necrosis / 60.0 })
}

/// A body of one material: what the elementary cases share.
fn uniform(v: &Value, thickness: f64, outer: End, deep: End) -> Uniform {
    let perfusion = v["perfusion_1_s"].as_f64().unwrap_or(0.0);
    let blood = v["blood"].as_object().map_or(0.0, |_| number(&v["blood"], "rho_kg_m3") * number(&v["blood"], "c_J_kgK"));
    let arterial = v["arterial_C"].as_f64().unwrap_or(37.0);
    let tissue = Tissue { material: material(v), thickness, perfusion, metabolic: 0.0, response: Response::None };
    Uniform { tissue, start: v["T0_C"].as_f64().unwrap_or(arterial), arterial, blood, outer, deep }
}

fn face(at: f64) -> End {
    End::Meets { h: f64::INFINITY, at }
}

fn elementary(kind: &str, v: &Value) -> Value {
    let depth = v["x_m"].as_f64().unwrap_or(0.0);
    let time = v["t_s"].as_f64().unwrap_or(0.0);
    let film = |at: &str| End::Meets { h: number(v, "h_W_m2K"), at: number(v, at) };
    let decay = || {
        40.0 * (number(v, "k_W_mK") / (number(v, "perfusion_1_s") * number(&v["blood"], "rho_kg_m3") * number(&v["blood"], "c_J_kgK")))
            .sqrt()
    };
    let t = match kind {
        "semi-infinite-surface-temperature" => {
            uniform(v, far(material(v), time), face(number(v, "surface_C")), End::Insulated).after(time, depth)
        }
        "semi-infinite-flux" => uniform(v, far(material(v), time), End::Flow(number(v, "flux_W_m2")), End::Insulated).after(time, depth),
        "semi-infinite-convection" => uniform(v, far(material(v), time), film("fluid_C"), End::Insulated).after(time, depth),
        "pennes-steady" => uniform(v, decay(), face(number(v, "surface_C")), End::Insulated).steady(depth),
        "pennes-steady-convection" => return json!({ "T_surface_C": uniform(v, decay(), film("fluid_C"), End::Insulated).steady(0.0) }),
        "pennes-step" => uniform(v, far(material(v), time), face(number(v, "surface_C")), End::Insulated).after(time, depth),
        "pennes-slab" => uniform(v, number(v, "thickness_m"), face(number(v, "surface_C")), End::Insulated).steady(depth),
        "slab-insulated" => uniform(v, number(v, "thickness_m"), face(number(v, "surface_C")), End::Insulated).after(time, depth),
        "slab-convection" => uniform(v, number(v, "thickness_m"), film("room_C"), End::Insulated).after(time, depth),
        "lumped" => lumped(
            number(v, "heat_capacity_J_m2K"),
            number(v, "T0_C"),
            number(v, "power_W_m2"),
            number(v, "h_W_m2K"),
            number(v, "room_C"),
            time,
        ),
        "series-resistance" => {
            return json!({ "flux_W_m2": series(number(v, "T_hot_C"), number(v, "T_cold_C"), &times(&v["resistances_m2K_W"])) });
        }
        "contact" => {
            let side = |key: &str| (material(&v[key]), number(&v[key], "T0_C"));
            let (a, b) = contact(side("body1"), side("body2"), v["contact_W_m2K"].as_f64(), time);
            return json!({ "T1_face_C": a, "T2_face_C": b });
        }
        other => panic!("no case is computed for {other}"),
    };
    json!({ "T_C": t })
}

fn compute(kind: &str, v: &Value, expected: &Map<String, Value>) -> Value {
    match kind {
        "scenario-heat" => scenario(v, expected, false),
        "scenario-cold" => scenario(v, expected, true),
        "published-measurement" => measured(v, expected),
        "safe-time" => safe(v),
        "threshold-surface-held" => held(v),
        "layered-exact" => layered(v),
        "rest-state" => at_rest(v),
        "damage-isothermal" => isothermal(v),
        "damage-history" => past(v),
        "threshold-published" => threshold(v),
        other => elementary(other, v),
    }
}

/// Differences outside the tolerance, and how many values were compared.
fn differ(name: &str, got: &Value, want: &Value, tolerance: &Value, out: &mut Vec<String>) -> usize {
    match want {
        Value::Object(map) => {
            map.iter().filter(|(k, _)| *k != "t_s").map(|(k, w)| differ(&format!("{name}.{k}"), &got[k], w, tolerance, out)).sum()
        }
        Value::Array(list) => list.iter().enumerate().map(|(i, w)| differ(&format!("{name}[{i}]"), &got[i], w, tolerance, out)).sum(),
        Value::Null => {
            if !got.is_null() {
                out.push(format!("{name}: {got}, never expected"));
            }
            1
        }
        _ => {
            let (want, most) = (want.as_f64().unwrap(), (number(tolerance, "abs"), number(tolerance, "rel")));
            let off = got.as_f64().map_or(f64::INFINITY, |g| (g - want).abs());
            // Expected values are written with seven figures.
            let rounding = 0.5 * 10_f64.powf(want.abs().max(1e-300).log10().floor() - 6.0);
            if off > most.0.max(most.1 * want.abs()).max(rounding * 1.001) {
                out.push(format!("{name}: {got}, expected {want}"));
            }
            1
        }
    }
}

#[test]
fn every_reference_case_is_met() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference/thermal");
    let (mut wrong, mut cases, mut values) = (Vec::new(), 0, 0);
    let mut files: Vec<_> =
        std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).filter(|p| p.extension().is_some_and(|e| e == "json")).collect();
    files.sort();
    for file in files {
        let case: Value = serde_json::from_str(&std::fs::read_to_string(&file).unwrap()).unwrap();
        let expected = case["expected"].as_object().unwrap();
        let got = compute(case["kind"].as_str().unwrap(), &case["inputs"], expected);
        for (key, want) in expected {
            let name = format!("{}.{key}", case["id"].as_str().unwrap());
            values += differ(&name, &got[key], want, &case["tolerance"][key], &mut wrong);
        }
        cases += 1;
    }
    assert!(wrong.is_empty(), "{} of {values} values:\n{}", wrong.len(), wrong.join("\n"));
    assert!(cases == 86 && values == 974, "{cases} cases, {values} values");
}

//! Computed heat and cold of a step as data: inputs, three ways of blood flow, the verdict. Numbers are
//! rounded to four figures, which is more than the model knows.

use crate::compute::thermal::facts::Thermal;
use crate::compute::thermal::scenario::{COLD_LEVELS, Outcome, Scenario};
use crate::compute::thermal::stack::Perfusion;
use serde_json::{Map, Value, json};

/// Four figures; `null` for what is not finite.
fn figures(x: f64) -> Value {
    if x == 0.0 || !x.is_finite() {
        return if x == 0.0 { json!(0.0) } else { Value::Null };
    }
    let text = format!("{x:.3e}");
    text.parse::<f64>().map_or(Value::Null, |x| json!(x))
}

fn maybe(x: Option<f64>) -> Value {
    x.map_or(Value::Null, figures)
}

pub(super) fn thermal(t: &Thermal) -> Value {
    let e = &t.exposure;
    let inputs = match &e.scenario {
        Scenario::Resting(r) => json!({
            "source": r.source.word(), "start_C": figures(r.start), "cover": r.cover.word(), "layers": r.layers, "time_s": figures(r.seconds),
            "site": if r.limb { "limb" } else { "trunk" }, "lying_on_it": r.under,
        }),
        Scenario::Moving(m) => json!({
            "source": m.source.word(), "dwell_s": figures(m.dwell), "passes": m.passes, "gap_s": figures(m.gap),
            "site": if m.limb { "limb" } else { "trunk" },
        }),
    };
    json!({
        "inputs": inputs,
        "blood_flow": e.modes.iter().map(outcome).collect::<Vec<_>>(),
        "judged_on": mode(e.worst().mode), "share_of_safe_time": maybe(e.used()), "rewarm_to_30_s": maybe(e.rewarm()),
        "outside_the_model": t.beyond.iter().map(|b| b.words()).collect::<Vec<_>>(),
    })
}

fn mode(mode: Perfusion) -> &'static str {
    match mode {
        Perfusion::Responsive => "responsive",
        Perfusion::Basal => "basal",
        Perfusion::None => "none",
    }
}

fn outcome(o: &Outcome) -> Value {
    let names = ["skin_below_15_s", "skin_below_13p6_s", "skin_below_10_s", "skin_below_0_s"];
    debug_assert_eq!(names.len(), COLD_LEVELS.len());
    let below: Map<String, Value> = names.iter().zip(o.below).map(|(n, t)| ((*n).to_string(), figures(t))).collect();
    let mut out = json!({
        "mode": mode(o.mode), "skin_rest_C": figures(o.rest), "skin_max_C": figures(o.skin_max), "skin_min_C": figures(o.skin_min),
        "basal_max_C": figures(o.basal_max), "basal_min_C": figures(o.basal_min), "skin_above_43_s": figures(o.above_43), "cem43_min": figures(o.cem43),
        "burn_integral": figures(o.burn), "first_basal_43_s": maybe(o.first_43), "first_burn_0p53_s": maybe(o.first_burn),
        "first_skin_13p6_s": maybe(o.first_numb), "rewarm_to_30_s": maybe(o.rewarm), "safe_time_s": maybe(o.safe),
    });
    if let Some(map) = out.as_object_mut() {
        map.extend(below);
    }
    out
}

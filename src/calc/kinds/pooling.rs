//! Studies together: `pool`, `small-study`.

use super::Kind;
use super::evidence::{labelled, settled};
use crate::calc::inputs::Inputs;
use crate::calc::outcome::{Outcome, number};
use crate::compute::evidence::effect::SCALES;
use crate::compute::evidence::pool::small::{EGGER, Egger, Side, TRIM_AND_FILL, begg, egger, trim_and_fill};
use crate::compute::evidence::pool::{Test, leave_one_out};
use crate::compute::evidence::refusal::{above, finite};
use crate::compute::evidence::{
    Effect, Interval, IntervalMethod, Level, Pooled, PredictionMethod, Refusal, Scale, TauMethod, pool as pooled,
};
use serde_json::{Map, Value, json};

/// The kinds.
pub static KINDS: &[Kind] = &[
    Kind {
        name: "pool",
        summary: "studies pooled: fixed and random effects, heterogeneity, prediction intervals",
        keys: &["measure", "studies"],
        run: pool,
    },
    Kind {
        name: "small-study",
        summary: "small studies against large ones: regression, rank correlation, trim and fill, leave one out",
        keys: &["measure", "studies"],
        run: small_study,
    },
];

/// Data that a reader may leave beside effect and variance.
const RAW: &[&str] = &["a", "n1", "c", "n2", "x", "n", "r", "m1", "sd1", "m2", "sd2"];
const STUDY: &[&str] = &["label", "yi", "vi", "a", "n1", "c", "n2", "x", "n", "r", "m1", "sd1", "m2", "sd2"];

const TAU: [(&str, TauMethod); 4] =
    [("fixed", TauMethod::Fixed), ("DL", TauMethod::DerSimonianLaird), ("PM", TauMethod::PauleMandel), ("REML", TauMethod::Reml)];

const PREDICTIONS: [(&str, PredictionMethod); 4] = [
    ("z_wald_se", PredictionMethod::ZWald),
    ("t_km1_wald_se", PredictionMethod::TKm1Wald),
    ("t_km1_knapp_hartung_se", PredictionMethod::TKm1KnappHartung),
    ("t_km2_wald_se", PredictionMethod::TKm2Wald),
];

struct Given {
    effects: Vec<Effect>,
    labels: Vec<Value>,
    /// The scale, if `measure` names one.
    scale: Option<Scale>,
    raw: bool,
}

/// The scale that the words of a measure begin with.
fn scale(measure: &str) -> Option<Scale> {
    const OTHER: [(&str, Scale); 5] = [
        ("hedges", Scale::StandardisedMeanDifference),
        ("cohen", Scale::StandardisedMeanDifference),
        ("log hazard ratio", Scale::LogRatio),
        ("log rate ratio", Scale::LogRatio),
        ("log response ratio", Scale::LogRatio),
    ];
    let words = measure.to_lowercase();
    let named = SCALES.into_iter().map(|s| (s.name().to_lowercase(), s));
    named.chain(OTHER.map(|(n, s)| (n.to_string(), s))).find(|(name, _)| words.starts_with(name)).map(|(_, s)| s)
}

fn given(inputs: &Inputs<'_>, least: usize) -> Option<Given> {
    let measure = if inputs.given("measure") { inputs.text("measure").map(Some) } else { Some(None) };
    let raw = std::cell::Cell::new(false);
    let studies = inputs.objects("studies", least, 2000, STUDY, |s| {
        let (yi, vi) = (s.number("yi"), s.number("vi"));
        for key in RAW.iter().filter(|k| s.given(k)) {
            raw.set(true);
            s.number(key)?;
        }
        let label = labelled(s)?;
        let yi = settled(s, finite("yi", yi?))?;
        Some((yi, settled(s, above("vi", vi?, 0.0))?, label))
    });
    let (measure, studies) = (measure?, studies?);
    let scale = measure.and_then(scale);
    let on = scale.unwrap_or(Scale::MeanDifference);
    let effects: Result<Vec<Effect>, Refusal> = studies.iter().map(|(y, v, _)| Effect::new(on, *y, *v, "as given")).collect();
    let effects = settled(inputs, effects)?;
    Some(Given { effects, labels: studies.into_iter().map(|s| s.2).collect(), scale, raw: raw.get() })
}

fn pair(interval: Option<Interval>) -> Value {
    let end = |of: fn(Interval) -> f64| interval.map_or(Value::Null, |i| number(of(i)));
    json!({"lb": end(|i| i.low), "ub": end(|i| i.high)})
}

fn maybe(value: Option<f64>) -> Value {
    value.map_or(Value::Null, number)
}

fn tested(name: &str, t: &Test) -> Map<String, Value> {
    let mut out = Map::new();
    out.insert("se".into(), number(t.se));
    out.insert(name.into(), maybe(t.statistic));
    if let Some(df) = t.df {
        out.insert("df".into(), number(df));
    }
    out.insert("p".into(), maybe(t.p));
    out.insert("ci_lb".into(), number(t.interval.low));
    out.insert("ci_ub".into(), number(t.interval.high));
    out
}

fn one(of: &Pooled, scale: Option<Scale>) -> Map<String, Value> {
    let mut out = Map::new();
    out.insert("variant".into(), Value::from(of.tau_method.name()));
    out.insert("tau2".into(), number(of.tau2));
    out.insert("estimate".into(), number(of.estimate));
    out.extend(tested("z", &of.tested(IntervalMethod::Wald, Level::P95)));
    if let Some(scale) = scale.filter(|s| s.name() != s.shown_name()) {
        let shown = of.shown();
        out.insert(
            "shown".into(),
            json!({"as": scale.shown_name(), "estimate": number(shown.value), "ci_lb": number(shown.interval.low), "ci_ub": number(shown.interval.high)}),
        );
    }
    out.insert("I2_metafor".into(), number(of.heterogeneity.i2_from_tau2));
    out.insert("H2_metafor".into(), number(of.heterogeneity.h2_from_tau2));
    out.insert("weights_percent".into(), of.weights.iter().copied().map(number).collect());
    if of.tau_method == TauMethod::Fixed {
        return out;
    }
    if of.tau_method == TauMethod::Reml {
        out.insert("se_tau2".into(), maybe(of.tau2_se));
    }
    for (key, by) in [("knapp_hartung", IntervalMethod::KnappHartung), ("knapp_hartung_adhoc", IntervalMethod::KnappHartungAdHoc)] {
        out.insert(key.into(), Value::Object(tested("t", &of.tested(by, Level::P95))));
    }
    let predictions = PREDICTIONS.iter().map(|(key, by)| ((*key).to_string(), pair(of.predicted(*by, Level::P95))));
    out.insert("prediction_interval".into(), Value::Object(predictions.collect()));
    out
}

fn pool(inputs: &Inputs<'_>) -> Option<Outcome> {
    let of = given(inputs, 2)?;
    let mut out = Outcome::default();
    let name = of.scale.map_or("pooled", Scale::shown_name);
    out.answer.push(["by", name, "from", "to (95 %)", "p", "tau2"].map(Value::from).to_vec());
    for (key, tau) in TAU {
        let all = settled(inputs, pooled(&of.effects, tau, IntervalMethod::Wald))?;
        if tau == TauMethod::Fixed {
            let h = all.heterogeneity;
            out.put("k", Value::from(all.k)).number("Q", h.q).number("df", h.df).number("Q_p", h.p);
            out.number("I2_from_Q", h.i2_from_q).number("H2_from_Q", h.h2_from_q);
        }
        out.put(key, Value::Object(one(&all, of.scale)));
        let (t, shown) = (all.tested(IntervalMethod::Wald, Level::P95), all.shown());
        let numbers = [shown.value, shown.interval.low, shown.interval.high].map(number);
        out.answer.push([Value::from(key)].into_iter().chain(numbers).chain([maybe(t.p), number(all.tau2)]).collect());
        if tau == TauMethod::Reml {
            out.put("tau2_q_profile_ci", pair(all.tau2_interval));
        }
    }
    pool_notes(&mut out, &of);
    Some(out)
}

fn pool_notes(out: &mut Outcome, of: &Given) {
    scale_note(out, of);
    out.note("Intervals are 95 %. `ci_lb` and `ci_ub` of a method are Wald's, by the normal quantile; `knapp_hartung` takes t with k-1 and may be narrower, `knapp_hartung_adhoc` may not. All of them to full convergence.");
    out.note("`I2_from_Q` is max(0, (Q - df)/Q) in percent; `I2_metafor` and `H2_metafor` come from tau2 and the typical variance (from Q under `fixed`). They agree for DL only.");
    out.note("Prediction intervals: by the normal quantile or t with k-1 (`km1`) or k-2 (`km2`), with Wald's standard error or that of Knapp and Hartung. `tau2_q_profile_ci`: Q-profile; undefined when the studies agree more closely than chance lets expect.");
    if of.effects.len() < 5 {
        out.note(format!(
            "Of {} studies no method knows tau2: read a prediction interval here as a sign of how little is known.",
            of.effects.len()
        ));
    }
}

fn scale_note(out: &mut Outcome, of: &Given) {
    match of.scale {
        Some(s) if s.name() == s.shown_name() => out.note(format!("On the scale of yi: {}.", s.name())),
        Some(s) => out.note(format!("On the scale of yi: {}; `shown` is the {}.", s.name(), s.shown_name())),
        None => {
            out.note("On the scale of yi; `measure` names no scale that is known here, so nothing is turned back into ratios or shares.")
        }
    };
    if of.raw {
        out.note("Pooled from yi and vi; other data of a study are left as they are.");
    }
}

fn small_study(inputs: &Inputs<'_>) -> Option<Outcome> {
    let of = given(inputs, 3)?;
    let mut out = Outcome::default();
    scale_note(&mut out, &of);
    let e = told(&mut out, "egger", egger(&of.effects));
    out.put("egger", e.as_ref().map_or(Value::Null, slope_form));
    out.put("egger_precision_form", e.as_ref().map_or(Value::Null, precision_form));
    let rank = told(&mut out, "rank_test_begg", begg(&of.effects));
    out.put("rank_test_begg", rank.map_or(Value::Null, |r| json!({"kendall_tau": number(r.tau), "p": number(r.p), "variant": r.variant})));
    let mut trimmed = Map::new();
    for (key, tau) in TAU.into_iter().take(2) {
        trimmed.insert(key.into(), filled(&mut out, &of, tau));
    }
    out.put("trim_and_fill_L0", Value::Object(trimmed));
    let mut rows = Map::new();
    for (key, tau) in TAU {
        let without = settled(inputs, leave_one_out(&of.effects, tau, IntervalMethod::Wald))?;
        rows.insert(key.into(), without.iter().zip(&of.labels).map(|(p, label)| left_out(p, label)).collect());
    }
    out.put("leave_one_out", Value::Object(rows));
    out.note(format!("`egger`: {EGGER}; `trim_and_fill_L0`: {TRIM_AND_FILL}; `leave_one_out`: the row of a study is the pool without it, I2 and H2 from tau2 (from Q under `fixed`)."));
    out.note("None of these can tell missing studies from true differences between small and large ones; with fewer than ten studies they rarely tell anything.");
    Some(out)
}

/// The value, or a note why there is none.
fn told<T>(out: &mut Outcome, key: &str, of: Result<T, Refusal>) -> Option<T> {
    of.map_err(|refusal| out.note(format!("`{key}` is undefined: {refusal}."))).ok()
}

fn slope_form(e: &Egger) -> Value {
    json!({
        "bias_coefficient": number(e.bias), "bias_se": number(e.bias_se), "t": maybe(e.t), "df": number(e.df), "p": maybe(e.p),
        "bias_ci_lb": number(e.bias_interval.low), "bias_ci_ub": number(e.bias_interval.high),
        "limit_estimate": number(e.limit), "limit_se": number(e.limit_se),
        "limit_ci_lb": number(e.limit_interval.low), "limit_ci_ub": number(e.limit_interval.high),
    })
}

fn precision_form(e: &Egger) -> Value {
    json!({
        "intercept": number(e.bias), "intercept_se": number(e.bias_se), "intercept_t": maybe(e.t), "intercept_p": maybe(e.p),
        "slope": number(e.limit), "slope_se": number(e.limit_se),
    })
}

fn filled(out: &mut Outcome, of: &Given, tau: TauMethod) -> Value {
    let Some(t) = told(out, "trim_and_fill_L0", trim_and_fill(&of.effects, tau, IntervalMethod::Wald)) else { return Value::Null };
    let list = |value: fn(&Effect) -> f64| t.filled.iter().map(value).map(number).collect::<Value>();
    json!({
        "side": if t.side == Side::Right { "right" } else { "left" },
        "k0": t.filled.len(), "k_filled": t.pooled.k, "estimate": number(t.pooled.estimate), "se": number(t.pooled.se),
        "ci_lb": number(t.pooled.interval.low), "ci_ub": number(t.pooled.interval.high), "tau2": number(t.pooled.tau2),
        "filled_yi": list(|e| e.value), "filled_vi": list(|e| e.variance),
    })
}

fn left_out(p: &Pooled, label: &Value) -> Value {
    let t = p.tested(IntervalMethod::Wald, Level::P95);
    let mut row = json!({
        "estimate": number(p.estimate), "se": number(t.se), "zval": maybe(t.statistic), "pval": maybe(t.p),
        "ci_lb": number(t.interval.low), "ci_ub": number(t.interval.high),
        "Q": number(p.heterogeneity.q), "Qp": number(p.heterogeneity.p), "tau2": number(p.tau2),
        "I2": number(p.heterogeneity.i2_from_tau2), "H2": number(p.heterogeneity.h2_from_tau2),
    });
    if let (Some(row), false) = (row.as_object_mut(), label.is_null()) {
        row.shift_insert(0, "id".into(), label.clone());
    }
    row
}

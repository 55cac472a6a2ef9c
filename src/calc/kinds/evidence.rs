//! What the kinds of evidence share: effects as rows, refusals as findings.

use crate::calc::inputs::Inputs;
use crate::calc::outcome::number;
use crate::compute::evidence::{Effect, Interval, Level, Refusal, Scale};
use serde_json::{Map, Value};

/// Said with every list of effects.
pub const NOTE: &str = "Intervals are 95 %; z is the exact normal quantile 1.959963984540054. yi, vi, sei are value, variance and standard error on the scale of analysis.";

/// The value, or a finding at the input at fault.
pub fn settled<T>(inputs: &Inputs<'_>, of: Result<T, Refusal>) -> Option<T> {
    of.map_or_else(|refusal| refused(inputs, refusal), Some)
}

/// A finding at the input at fault.
pub fn refused<T>(inputs: &Inputs<'_>, refusal: Refusal) -> Option<T> {
    inputs.refuse(refusal.what(), "not possible", refusal.to_string(), help(refusal))
}

fn help(refusal: Refusal) -> String {
    match refusal {
        Refusal::NotFinite { .. } => "write a number".to_string(),
        Refusal::NotWhole { .. } => "write a whole number; round an effective number of people first".to_string(),
        Refusal::Below { least, .. } => format!("write {least} or more"),
        Refusal::NotAbove { bound, .. } => format!("write a number above {bound}"),
        Refusal::Above { most, .. } => format!("write {most} or less"),
        Refusal::NotBelow { bound, .. } => format!("write a number below {bound}"),
        Refusal::MoreThan { of, .. } => format!("check this number and `{of}` against the source"),
        Refusal::TooFew { least, .. } => format!("give {least} or more"),
        Refusal::Uneven { wanted, .. } => format!("give every row {wanted} entries"),
        Refusal::RowSum { .. } => "let every subject be rated by as many raters".to_string(),
        Refusal::NoVariance { .. } => "leave the study out, or give it the variance that its data allow".to_string(),
        Refusal::Mixed { .. } => "pool studies on one scale".to_string(),
        Refusal::Undefined { .. } => "check the numbers against the source; if they are right, there is nothing to calculate".to_string(),
        Refusal::OutOfRange { .. } => "check the size of the numbers".to_string(),
    }
}

/// The label of an entry; `null` without one.
pub fn labelled(inputs: &Inputs<'_>) -> Option<Value> {
    if inputs.given("label") { inputs.id("label") } else { Some(Value::Null) }
}

fn headed(label: &Value) -> Map<String, Value> {
    let mut out = Map::new();
    if !label.is_null() {
        out.insert("id".into(), label.clone());
    }
    out
}

/// An interval as a row.
pub fn ends(label: &Value, interval: Interval) -> Map<String, Value> {
    let mut out = headed(label);
    out.insert("ci_lb".into(), number(interval.low));
    out.insert("ci_ub".into(), number(interval.high));
    out
}

/// An effect as a row, with what is shown to people beside the scale of analysis.
pub fn effect(label: &Value, of: &Effect) -> Value {
    let mut out = headed(label);
    let interval = of.interval(Level::P95);
    let mut put = |key: &str, value: Option<f64>| out.insert(key.into(), value.map_or(Value::Null, number));
    put("yi", Some(of.value));
    put("vi", Some(of.variance));
    put("sei", Some(of.se()));
    put("zi", of.z());
    put("pval", of.p());
    put("ci_lb", Some(interval.low));
    put("ci_ub", Some(interval.high));
    let shown = of.shown(Level::P95);
    let keys = match of.scale {
        Scale::LogRiskRatio | Scale::LogOddsRatio | Scale::LogRatio => Some(["ratio", "ratio_lb", "ratio_ub"]),
        Scale::LogitProportion | Scale::ArcsineProportion => Some(["proportion", "proportion_lb", "proportion_ub"]),
        Scale::FisherZ => Some(["r", "r_ci_lb", "r_ci_ub"]),
        _ => None,
    };
    for (key, value) in keys.into_iter().flatten().zip([shown.value, shown.interval.low, shown.interval.high]) {
        put(key, Some(value));
    }
    out.insert("variant".into(), Value::from(of.variant));
    Value::Object(out)
}

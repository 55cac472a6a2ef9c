//! `test-accuracy`: how well a test tells those who have a condition from those who do not.

use super::Kind;
use super::evidence::{labelled, settled};
use crate::calc::inputs::Inputs;
use crate::calc::outcome::{Outcome, number};
use crate::compute::evidence::accuracy::{Accuracy, Counts, Ratio, Ratios, Share, accuracy, post_test};
use crate::compute::evidence::{Interval, Level};
use serde_json::{Map, Value, json};

/// The kinds.
pub static KINDS: &[Kind] = &[Kind {
    name: "test-accuracy",
    summary: "sensitivity, specificity, predictive values, likelihood ratios, probability after a result",
    keys: &["cases"],
    run,
}];

fn run(inputs: &Inputs<'_>) -> Option<Outcome> {
    let keys = &["label", "tp", "fp", "fn", "tn", "pretest", "source", "basis"];
    let cases = inputs.objects("cases", 1, 1000, keys, |case| {
        if case.given("source") {
            case.text("source")?;
        }
        if case.given("basis") {
            case.named("basis", |_, _, _| Some(()))?;
        }
        one(case)
    })?;
    let mut out = Outcome::default();
    out.put("cases", Value::Array(cases));
    out.note("Shares with Wilson's score interval, ratios by the logarithm, all 95 %. An infinite ratio is null, and so is an interval that an empty cell leaves undefined; `haldane_0_5_added_to_all_cells` gives those with 0.5 added.");
    out.note("Probabilities after a result take that before as known; their ends come from those of the likelihood ratio. Predictive values hold only where the condition is as frequent as in the study.");
    Some(out)
}

fn one(case: &Inputs<'_>) -> Option<Value> {
    let (tp, fp, negative, tn) = (case.number("tp"), case.number("fp"), case.number("fn"), case.number("tn"));
    let before = if case.given("pretest") { case.numbers("pretest", 1, 100) } else { Some(Vec::new()) };
    let label = labelled(case)?;
    let of = Counts { tp: tp?, fp: fp?, r#fn: negative?, tn: tn? };
    let a = settled(case, accuracy(&of, Level::P95))?;
    let mut map = Map::new();
    if !label.is_null() {
        map.insert("id".into(), label.clone());
        map.insert("label".into(), label);
    }
    shares(&mut map, &a);
    put_ratios(&mut map, &a.ratios);
    if let Some(corrected) = a.corrected {
        let mut inner = Map::new();
        put_ratios(&mut inner, &corrected);
        map.insert("haldane_0_5_added_to_all_cells".into(), Value::Object(inner));
    }
    let after: Option<Vec<Value>> = before?.into_iter().map(|p| after(case, &a.ratios, p)).collect();
    map.insert("post_test".into(), Value::Array(after?));
    Some(Value::Object(map))
}

fn maybe(value: Option<f64>) -> Value {
    value.map_or(Value::Null, number)
}

fn ends(map: &mut Map<String, Value>, low: &str, high: &str, interval: Option<Interval>) {
    map.insert(low.into(), maybe(interval.map(|i| i.low)));
    map.insert(high.into(), maybe(interval.map(|i| i.high)));
}

fn shares(map: &mut Map<String, Value>, a: &Accuracy) {
    let all: [(&str, Share); 6] = [
        ("sensitivity", a.sensitivity),
        ("specificity", a.specificity),
        ("ppv", a.ppv),
        ("npv", a.npv),
        ("accuracy", a.accuracy),
        ("prevalence", a.prevalence),
    ];
    for (key, share) in all {
        let mut inner = Map::new();
        inner.insert("value".into(), maybe(share.estimate.map(|e| e.value)));
        inner.insert("numerator".into(), number(share.numerator));
        inner.insert("denominator".into(), number(share.denominator));
        ends(&mut inner, "ci_lb", "ci_ub", share.estimate.map(|e| e.interval));
        map.insert(key.into(), Value::Object(inner));
    }
    map.insert("youden_index".into(), maybe(a.youden));
}

fn put_ratios(map: &mut Map<String, Value>, of: &Ratios) {
    let all: [(&str, Ratio); 3] = [("lr_positive", of.positive), ("lr_negative", of.negative), ("diagnostic_odds_ratio", of.odds)];
    for (key, ratio) in all {
        let mut inner = Map::new();
        inner.insert("value".into(), maybe(ratio.value));
        inner.insert("log_se".into(), maybe(ratio.log_se));
        ends(&mut inner, "ci_lb", "ci_ub", ratio.interval);
        map.insert(key.into(), Value::Object(inner));
    }
}

fn after(case: &Inputs<'_>, ratios: &Ratios, before: f64) -> Option<Value> {
    let p = settled(case, post_test(ratios, before))?;
    let end = |i: Option<Interval>, of: fn(Interval) -> f64| maybe(i.map(of));
    Some(json!({
        "pretest": number(before),
        "after_positive": maybe(p.positive),
        "after_positive_lb": end(p.positive_interval, |i| i.low), "after_positive_ub": end(p.positive_interval, |i| i.high),
        "after_negative": maybe(p.negative),
        "after_negative_lb": end(p.negative_interval, |i| i.low), "after_negative_ub": end(p.negative_interval, |i| i.high),
    }))
}

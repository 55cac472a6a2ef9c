//! `convert`: amounts from one unit to another.

use super::Kind;
use crate::calc::inputs::Inputs;
use crate::calc::outcome::{Outcome, number};
use crate::compute::convert::{Scale, Sense, below_absolute_zero, convert, named, scales};
use crate::model::nearest;
use serde_json::{Value, json};

const CASE: &[&str] = &["id", "kind", "values", "from", "to"];

/// The kinds.
pub static KINDS: &[Kind] = &[Kind {
    name: "convert",
    summary: "amounts of force, pressure, temperature, length, area, time or speed in another unit",
    keys: &["cases", "id", "kind", "values", "from", "to"],
    run,
}];

const SENSES: [(&str, (Sense, bool)); 4] = [
    ("value", (Sense::Value, false)),
    ("interval", (Sense::Value, true)),
    ("plus_minus", (Sense::PlusMinus, true)),
    ("difference", (Sense::Difference, false)),
];

fn run(inputs: &Inputs<'_>) -> Option<Outcome> {
    let mut outcome = Outcome::default();
    if inputs.given("cases") {
        let cases = inputs.only(&["cases"]).objects("cases", 1, 1000, CASE, |case| {
            let id = if case.given("id") { case.id("id")? } else { Value::Null };
            let values: Vec<Value> = one(case)?.into_iter().map(number).collect();
            Some(json!({"id": id, "values": values}))
        })?;
        outcome.put("cases", Value::Array(cases));
    } else {
        outcome.numbers("values", &one(&inputs.only(CASE))?);
    }
    Some(outcome)
}

fn one(case: &Inputs<'_>) -> Option<Vec<f64>> {
    let (sense, pair) = if case.given("kind") { case.word("kind", &SENSES)? } else { (Sense::Value, false) };
    let values = if pair { case.numerals("values", 2, 2) } else { case.numerals("values", 1, 1000) };
    let (from, to) = (unit(case, "from"), unit(case, "to"));
    let (values, from, to) = (values?, from?, to?);
    if from.dim != to.dim {
        let message = format!("`{}` is {}, and `{}` is {}", from.symbol, from.dim.word(), to.symbol, to.dim.word());
        return case.refuse("to", format!("{} here", to.dim.word()), message, "give a unit of the same dimension");
    }
    let readings = match sense {
        Sense::Value => values.as_slice(),
        Sense::PlusMinus => values.get(..1)?,
        Sense::Difference => &[],
    };
    if readings.iter().any(|v| below_absolute_zero(*v, from)) {
        return case.refuse("values", "not possible", "no temperature is so low", "possible: -273.15 degC or more");
    }
    if let (true, [low, high]) = (pair, values.as_slice()) {
        if sense == Sense::PlusMinus && *high < 0.0 {
            return case.refuse("values", "not possible", "a half-width is never negative", "write [centre, half-width]");
        }
        if sense == Sense::Value && low > high {
            return case.refuse("values", "runs from high to low", "the low end is above the high end", "write [low, high]");
        }
    }
    Some(convert(&values, sense, from, to))
}

fn unit(case: &Inputs<'_>, key: &'static str) -> Option<Scale> {
    let symbol = case.text(key)?;
    let scale = named(symbol);
    if scale.is_none() {
        let list = scales().map(|s| s.symbol).collect::<Vec<_>>().join(" ");
        case.not_listed(key, symbol, nearest(symbol, scales().map(|s| s.symbol)), &format!("units: {list}"));
    }
    scale
}

//! Values that several exports share.

use crate::model::docs::{
    Amount, Claim, ClaimedEffect, Dose, DoseValue, Ground, HouseNumber, HouseThermal, Limit, RestsOn, ResultRef, StopRule,
};
use crate::model::interval::Interval;
use crate::model::quantity::Quantity;
use crate::model::region::{Place, Side, regions};
use crate::model::{Catalog, Kind, Ref};
use crate::plan::site::doc;
use crate::source::Text;
use serde_json::{Value, json};

/// Optional text.
pub(super) fn text(text: &Option<Text>) -> Option<String> {
    crate::plan::site::text(text)
}

/// Texts.
pub(super) fn texts(texts: &[Text]) -> Vec<String> {
    crate::plan::site::texts(texts)
}

/// Labelled texts.
pub(super) fn pairs(pairs: &[(&'static str, Text)]) -> Value {
    pairs.iter().map(|(label, text)| json!({"label": label, "text": *text.value})).collect()
}

/// A number; JSON has no infinity, so an open end is null.
pub(super) fn number(x: f64) -> Value {
    if x.is_finite() { json!(x) } else { Value::Null }
}

/// An interval in base units.
pub(super) fn interval(i: Interval) -> Value {
    json!({"least": number(i.lo), "most": number(i.hi)})
}

/// A quantity.
pub(super) fn quantity(q: &Quantity) -> Value {
    json!({"text": q.shown(), "unit": q.unit.symbol, "least": number(q.written.lo), "most": number(q.written.hi), "base": interval(q.base())})
}

/// An optional amount.
pub(super) fn amount(amount: &Option<Amount>) -> Value {
    amount.as_ref().map_or(Value::Null, |a| quantity(&a.value))
}

/// Id of the document that a reference leads to.
pub(super) fn id<T>(catalog: &Catalog, kind: Kind, reference: &Ref<T>) -> Option<String> {
    reference.to.map(|idx| catalog.id(doc(kind, idx)).to_string())
}

/// Places.
pub(super) fn places(all: &[Place]) -> Value {
    let side = |s: Side| match s {
        Side::Same => "same",
        Side::Other => "other",
        Side::Left => "left",
        Side::Right => "right",
        Side::Both => "both",
        Side::Midline => "midline",
    };
    all.iter().map(|p| json!({"region": regions().get(p.region).id, "side": side(p.side)})).collect()
}

/// What a value rests on.
pub(super) fn ground(catalog: &Catalog, g: &Ground) -> Value {
    let cites: Vec<Value> = g
        .cites
        .iter()
        .map(|c| json!({"source": id(catalog, Kind::Source, &c.source), "at": text(&c.at), "through": c.through.as_ref().and_then(|t| id(catalog, Kind::Source, t)), "for": text(&c.supports)}))
        .collect();
    json!({"cite": cites, "basis": g.basis.as_ref().map(|b| b.value.word())})
}

/// Claims.
pub(super) fn claims(catalog: &Catalog, claims: &[Claim]) -> Value {
    let claim = |c: &Claim| {
        json!({
            "text": *c.text.value, "certainty": c.certainty.as_ref().map(|s| s.value.word()), "why": text(&c.why),
            "effect": c.effect.as_ref().map(|e| effect(catalog, e)), "ground": ground(catalog, &c.ground),
        })
    };
    claims.iter().map(claim).collect()
}

fn effect(catalog: &Catalog, e: &ClaimedEffect) -> Value {
    let (question, result) = match &e.rests_on {
        Some(RestsOn::Question(q)) => (id(catalog, Kind::Question, q), None),
        Some(RestsOn::Result(r)) => (None, Some(result_ref(catalog, r))),
        None => (None, None),
    };
    json!({
        "outcome": id(catalog, Kind::Outcome, &e.outcome), "direction": e.direction.as_ref().map(|d| d.value.word()),
        "who": e.who.as_ref().and_then(|w| id(catalog, Kind::Population, w)), "comparator": e.comparator.as_ref().map(|c| c.value.word()),
        "question": question, "result": result,
    })
}

/// A result of a source.
pub(super) fn result_ref(catalog: &Catalog, r: &ResultRef) -> Value {
    json!({"source": id(catalog, Kind::Source, &r.source), "result": *r.result.value})
}

/// Stop rules.
pub(super) fn stops(rules: &[StopRule]) -> Value {
    rules.iter().map(|r| json!({"sign": *r.sign.value, "at": text(&r.at), "do": text(&r.act), "then": text(&r.then)})).collect()
}

/// A dose, in the order in which it was written.
pub(super) fn dose(dose: &Dose) -> Value {
    let value = |v: &DoseValue| match v {
        DoseValue::Amount(q) => quantity(q),
        DoseValue::Word(word) => json!({"text": **word}),
        DoseValue::Unreadable => Value::Null,
    };
    dose.entries.iter().map(|e| json!({"parameter": *e.name.value, "value": value(&e.value)})).collect()
}

/// House numbers about heat and cold, in base units.
pub(super) fn house_thermal(numbers: &HouseThermal) -> Value {
    let one = |(key, n): (&'static str, &HouseNumber)| {
        (key.replace('-', "_"), json!({"text": n.shown(), "base": n.value, "house": n.stated.is_some()}))
    };
    Value::Object(numbers.rows().into_iter().map(one).collect())
}

/// Limits.
pub(super) fn limits(catalog: &Catalog, limits: &[Limit]) -> Value {
    limits
        .iter()
        .map(|l| {
            json!({
                "stressor": l.stressor.word(), "per": l.per.word(), "max": amount(&l.max), "regions": places(&l.regions.all),
                "tags": l.tags.iter().map(|t| t.word()).collect::<Vec<_>>(), "why": text(&l.why), "ground": ground(catalog, &l.ground),
            })
        })
        .collect()
}

//! Measures: what was printed, and what follows from it.

use super::values::{amount, ground, id, interval, pairs, text, texts};
use crate::compute::measurement::{self, ErrorFacts, Known, Origin, sign};
use crate::model::docs::{Meaningful, Measure, MeasureError, Population, Reliability};
use crate::model::interval::Interval;
use crate::model::{Catalog, Kind, Ref};
use serde_json::{Value, json};

pub(super) fn measure(catalog: &Catalog, m: &Measure) -> Value {
    json!({
        "other_names": texts(&m.other_names), "measures": *m.measures.value, "outcome": m.outcome.as_ref().and_then(|o| id(catalog, Kind::Outcome, o)), "unit": *m.unit.value, "bounds": amount(&m.bounds),
        "how": pairs(&m.how), "loads": m.loads.iter().map(|l| l.value.word()).collect::<Vec<_>>(), "anchors": text(&m.anchors), "reliability": reliability(catalog, &m.reliability),
        "error": m.errors.iter().map(|e| error(catalog, e)).collect::<Vec<_>>(),
        "meaningful": m.meaningful.iter().map(|c| change(catalog, m, c)).collect::<Vec<_>>(),
        "in_one_person": text(&m.in_one_person), "licence": *m.licence.value,
        "licence_terms": m.licence_terms.as_ref().map(|l| l.value.word()), "when": text(&m.when), "code": text(&m.code),
    })
}

fn error(catalog: &Catalog, e: &MeasureError) -> Value {
    let facts = ErrorFacts::of(e);
    json!({
        "population": *e.population.value, "who": who(catalog, &e.who), "rater": e.rater.map(crate::model::vocabulary::Raters::word), "site": text(&e.site),
        "sd": amount(&e.sd), "icc": e.icc.as_ref().map(|i| bare(i.value)), "sem": amount(&e.sem), "mdc": amount(&e.mdc),
        "level": e.level.as_ref().map(|l| l.value), "unknown": text(&e.unknown), "note": text(&e.note), "ground": ground(catalog, &e.ground),
        "derived": {
            "sem": known(facts.sem), "mdc90": known(facts.at90), "mdc95": known(facts.at95),
            "level": facts.level.map(measurement::Level::percent), "level_from_arithmetic": facts.implied,
        },
    })
}

fn change(catalog: &Catalog, m: &Measure, c: &Meaningful) -> Value {
    let against = measurement::against(catalog, m, c).map(|(y, change)| {
        json!({"population": *y.error.population.value, "same_people": y.same_people, "error": interval(y.threshold.change), "can_be_error": y.threshold.covers(change)})
    });
    json!({"change": amount(&c.change), "anchor": text(&c.anchor), "population": *c.population.value, "who": who(catalog, &c.who), "against_error": against, "ground": ground(catalog, &c.ground)})
}

fn known(k: Option<Known>) -> Value {
    let from = |o: Origin| match o {
        Origin::Printed => "printed",
        Origin::FromError => "standard error",
        Origin::FromSpread => "spread and correlation",
        Origin::FromOtherLevel => "other level",
    };
    k.map_or(Value::Null, |k| json!({"base": interval(k.amount), "from": from(k.origin)}))
}

fn who(catalog: &Catalog, who: &Option<Ref<Population>>) -> Option<String> {
    who.as_ref().and_then(|w| id(catalog, Kind::Population, w))
}

fn bare(i: Interval) -> Value {
    json!({"least": i.lo, "most": i.hi})
}

pub(super) fn reliability(catalog: &Catalog, all: &[Reliability]) -> Vec<Value> {
    let one = |r: &Reliability| {
        let words = r.value.as_ref().map(|v| sign::sentence(r.kind, v.value, r.interval.as_ref().map(|i| i.value), r.rater));
        json!({
            "kind": r.kind.word(), "value": r.value.as_ref().map(|v| bare(v.value)), "interval": r.interval.as_ref().map(|v| bare(v.value)),
            "rater": r.rater.word(), "population": *r.population.value, "who": who(catalog, &r.who), "site": text(&r.site), "note": text(&r.note), "words": words,
            "ground": ground(catalog, &r.ground),
        })
    };
    all.iter().map(one).collect()
}

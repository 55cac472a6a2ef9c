//! Outcome measures, and the agreement of examiners that measures and signs share.

use super::Reader;
use crate::model::docs::{Head, Meaningful, Measure, MeasureError, Reliability};
use crate::model::unit::Dim;
use crate::model::vocabulary::{Coefficient, LicenceTerms, Raters, Stressor};
use crate::source::{Node, Spanned};

/// Kappas and intraclass correlations cannot lie outside.
const POSSIBLE: (f64, f64) = (-1.0, 1.0);

const HOW: [(&str, &str); 5] =
    [("instrument", "Instrument"), ("position", "Position"), ("repeats", "Readings"), ("averaged", "Which count"), ("rater", "Taken by")];

pub(super) fn measure(r: &mut Reader<'_>, n: &Node, head: Head) -> Measure {
    let bounds = r.amount_in(n, "bounds", &[]);
    let dims: Vec<Dim> = bounds.iter().map(|b| b.value.dim()).collect();
    let terms = r.maybe(n, "licence-terms");
    Measure {
        name: r.text(n, "name"),
        other_names: r.texts(n, "other-names"),
        measures: r.text(n, "measures"),
        outcome: r.maybe_reference(n, "outcome"),
        unit: r.text(n, "unit"),
        bounds,
        how: n.get("how").map(|x| r.labelled(x, &HOW)).unwrap_or_default(),
        loads: r.texts(n, "loads").iter().filter_map(|t| Some(Spanned::new(Stressor::from_word(&t.value)?, t.span))).collect(),
        anchors: r.maybe(n, "anchors"),
        reliability: reliability(r, n),
        errors: errors(r, n, &dims),
        meaningful: meaningful(r, n, &dims),
        in_one_person: r.maybe(n, "in-one-person"),
        licence: r.text(n, "licence"),
        licence_terms: terms.and_then(|t| LicenceTerms::from_word(&t.value).map(|l| Spanned::new(l, t.span))),
        when: r.maybe(n, "when"),
        code: r.maybe(n, "code"),
        head,
    }
}

fn errors(r: &mut Reader<'_>, n: &Node, dims: &[Dim]) -> Vec<MeasureError> {
    let mut out = Vec::new();
    for x in r.items(n, "error") {
        out.push(MeasureError {
            population: r.text(x, "population"),
            who: r.maybe_reference(x, "who"),
            rater: raters(r, x),
            site: r.maybe(x, "site"),
            sd: r.amount_in(x, "sd", dims),
            icc: r.ratio(x, "icc", POSSIBLE),
            sem: r.amount_in(x, "sem", dims),
            mdc: r.amount_in(x, "mdc", dims),
            level: r.whole(x, "level"),
            unknown: r.maybe(x, "unknown"),
            note: r.maybe(x, "note"),
            ground: r.ground(x),
        });
    }
    out
}

fn meaningful(r: &mut Reader<'_>, n: &Node, dims: &[Dim]) -> Vec<Meaningful> {
    let mut out = Vec::new();
    for x in r.items(n, "meaningful") {
        out.push(Meaningful {
            change: r.amount_in(x, "change", dims),
            anchor: r.maybe(x, "anchor"),
            population: r.text(x, "population"),
            who: r.maybe_reference(x, "who"),
            ground: r.ground(x),
        });
    }
    out
}

fn raters(r: &Reader<'_>, n: &Node) -> Option<Raters> {
    r.maybe(n, "rater").and_then(|t| Raters::from_word(&t.value))
}

/// The entries under `reliability`.
pub(super) fn reliability(r: &mut Reader<'_>, n: &Node) -> Vec<Reliability> {
    let mut out = Vec::new();
    for x in r.items(n, "reliability") {
        let kind = r.maybe(x, "kind").and_then(|t| Coefficient::from_word(&t.value));
        let (Some(kind), Some(rater)) = (kind, raters(r, x)) else { continue };
        let percent = kind == Coefficient::PercentAgreement;
        let mut value = |key: &str| {
            if percent { r.amount(x, key, Dim::Percent).map(|a| Spanned::new(a.value.written, a.span)) } else { r.ratio(x, key, POSSIBLE) }
        };
        let (value, interval) = (value("value"), value("interval"));
        out.push(Reliability {
            kind,
            value,
            interval,
            rater,
            population: r.text(x, "population"),
            who: r.maybe_reference(x, "who"),
            site: r.maybe(x, "site"),
            note: r.maybe(x, "note"),
            ground: r.ground(x),
            span: x.span,
        });
    }
    out
}

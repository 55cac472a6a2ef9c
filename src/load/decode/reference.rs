//! Measures.

use super::Reader;
use crate::model::docs::{Head, Meaningful, Measure, MeasureError};
use crate::source::Node;

pub(super) fn measure(r: &mut Reader<'_>, n: &Node, head: Head) -> Measure {
    let how = n.get("how");
    Measure {
        name: r.text(n, "name"),
        other_names: r.texts(n, "other-names"),
        measures: r.text(n, "measures"),
        unit: r.text(n, "unit"),
        bounds: r.amount_in(n, "bounds", &[]),
        how: how
            .map(|x| {
                r.labelled(
                    x,
                    &[
                        ("instrument", "Instrument"),
                        ("position", "Position"),
                        ("repeats", "Readings"),
                        ("averaged", "Which count"),
                        ("rater", "Taken by"),
                    ],
                )
            })
            .unwrap_or_default(),
        anchors: r.maybe(n, "anchors"),
        errors: errors(r, n),
        meaningful: meaningful(r, n),
        licence: r.text(n, "licence"),
        when: r.maybe(n, "when"),
        code: r.maybe(n, "code"),
        head,
    }
}

fn errors(r: &mut Reader<'_>, n: &Node) -> Vec<MeasureError> {
    let mut out = Vec::new();
    for x in r.items(n, "error") {
        out.push(MeasureError {
            population: r.text(x, "population"),
            sem: r.amount_in(x, "sem", &[]),
            mdc: r.amount_in(x, "mdc", &[]),
            level: r.whole(x, "level").map(|l| l.value),
            note: r.maybe(x, "note"),
            ground: r.ground(x),
        });
    }
    out
}

fn meaningful(r: &mut Reader<'_>, n: &Node) -> Vec<Meaningful> {
    let mut out = Vec::new();
    for x in r.items(n, "meaningful") {
        out.push(Meaningful {
            change: r.amount_in(x, "change", &[]),
            anchor: r.maybe(x, "anchor"),
            population: r.text(x, "population"),
            ground: r.ground(x),
        });
    }
    out
}

//! Sources and measures.

use super::Reader;
use super::bibliography::bibliography;
use crate::model::docs::{Arm, Head, Meaningful, Measure, MeasureError, Outcome, Source};
use crate::source::Node;

pub(super) fn source(r: &mut Reader<'_>, n: &Node, head: Head) -> Source {
    let (retraction, seen) = (n.get("retraction"), n.get("seen"));
    Source {
        bibliography: bibliography(r, n),
        design: r.text(n, "design"),
        facts: r.labelled(
            n,
            &[
                ("population", "Population"),
                ("n", "People"),
                ("setting", "Setting"),
                ("comparator", "Compared with"),
                ("follow-up", "Follow-up"),
                ("harms", "Harms"),
                ("funding", "Funding"),
                ("interests", "Interests"),
                ("registration", "Registration"),
                ("note", "Note"),
                ("licence", "Licence"),
            ],
        ),
        arms: arms(r, n),
        outcomes: r
            .items(n, "outcomes")
            .iter()
            .map(|x| Outcome { name: r.text(x, "name"), result: r.text(x, "result"), at: r.maybe(x, "at") })
            .collect(),
        retraction: retraction.and_then(|x| r.maybe(x, "status")),
        retraction_checked: retraction.and_then(|x| r.date(x, "checked")),
        seen: seen.and_then(|x| r.maybe(x, "status")),
        seen_what: seen.and_then(|x| r.maybe(x, "what")),
        head,
    }
}

fn arms(r: &mut Reader<'_>, n: &Node) -> Vec<Arm> {
    let mut out = Vec::new();
    for x in r.items(n, "arms") {
        out.push(Arm { name: r.text(x, "name"), technique: r.maybe(x, "technique"), dose: r.dose(x, "dose") });
    }
    out
}

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

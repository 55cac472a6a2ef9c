//! Conditions and red flags.

use super::Reader;
use crate::model::docs::{Condition, Dose, Flag, Head, Places, Rule, Together};
use crate::model::vocabulary::{Strength, Stressor, Urgency};
use crate::source::{Node, NodeKind};

pub(super) fn condition(r: &mut Reader<'_>, n: &Node, head: Head) -> Condition {
    let lasts = n.get("lasts");
    Condition {
        name: r.text(n, "name"),
        other_names: r.texts(n, "other-names"),
        question: r.maybe(n, "question"),
        look_for: r.maybe(n, "look-for"),
        scope: r.maybe(n, "scope"),
        rules: rules(r, n),
        rules_at: n.entry("rules").map_or(head.at, |(k, _)| k.span),
        together: r.items(n, "together").iter().map(|item| together(r, item)).collect(),
        reason: r.text(n, "reason"),
        allows: r.references(n, "allows"),
        clears: r.maybe(n, "clears"),
        lasts: lasts.and_then(|x| r.maybe(x, "kind")),
        until: lasts.and_then(|x| r.maybe(x, "until")),
        ground: r.ground(n),
        head,
    }
}

fn together(r: &mut Reader<'_>, n: &Node) -> Together {
    Together { with: r.references(n, "with"), rules: rules(r, n), reason: r.text(n, "reason"), span: n.span }
}

fn rules(r: &mut Reader<'_>, n: &Node) -> Vec<Rule> {
    let mut out = Vec::new();
    for (name, value) in r.entries(n, "rules") {
        let Some(stressor) = Stressor::from_word(&name.value) else { continue };
        let NodeKind::Seq(rows) = &value.kind else {
            let strength = value.text().and_then(Strength::from_word).unwrap_or(Strength::Never);
            out.push(Rule {
                stressor,
                strength,
                strength_at: value.span,
                regions: Places::default(),
                max: Dose::default(),
                instead: None,
                why: None,
                span: value.span,
            });
            continue;
        };
        for row in rows {
            let strength = r.text(row, "strength");
            out.push(Rule {
                stressor,
                strength: Strength::from_word(&strength.value).unwrap_or(Strength::Never),
                strength_at: strength.span,
                regions: r.places(row, "regions"),
                max: r.dose(row, "max"),
                instead: r.maybe_reference(row, "instead"),
                why: r.maybe(row, "why"),
                span: row.span,
            });
        }
    }
    out
}

pub(super) fn flag(r: &mut Reader<'_>, n: &Node, head: Head) -> Flag {
    let guidance = n.get("guidance");
    let urgency_written = r.text(n, "urgency");
    Flag {
        name: r.text(n, "name"),
        covers: r.texts(n, "covers"),
        presentation: r.text(n, "presentation"),
        question: r.text(n, "question"),
        sign: r.maybe(n, "sign"),
        regions: r.places(n, "regions"),
        urgency: Urgency::from_word(&urgency_written.value),
        urgency_written,
        destination: r.maybe(n, "destination"),
        treatment: r.text(n, "treatment"),
        meanwhile: r.text(n, "meanwhile"),
        say: r.maybe(n, "say"),
        write: r.maybe(n, "write"),
        safety_net: r.maybe(n, "safety-net"),
        guidance_year: guidance.and_then(|g| r.whole(g, "year")),
        guidance_checked: guidance.and_then(|g| r.date(g, "checked")),
        ground: r.ground(n),
        head,
    }
}

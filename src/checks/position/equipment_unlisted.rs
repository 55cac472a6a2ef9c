//! Things that the steps use and the equipment list does not name.

use super::named;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::Protocol;
use crate::source::{Span, Text};

/// The check.
pub static CHECK: Check = Check {
    name: "equipment-unlisted",
    summary: "a step uses something that the equipment list does not name",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("equipment_unlisted.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for protocol in case.catalog.protocols.rows() {
        let mut seen: Vec<&str> = Vec::new();
        for step in &protocol.steps {
            let technique = step.technique.to.map(|t| (step.technique.span(), &case.catalog.techniques[t].equipment));
            let taken = step.position.as_ref().and_then(|p| Some((p.span(), &case.catalog.positions[p.to?].supports)));
            let uses: Vec<(Span, &Text)> =
                [technique, taken].into_iter().flatten().flat_map(|(at, items)| items.iter().map(move |i| (at, i))).collect();
            for (at, item) in uses {
                if listed(protocol, &item.value) || seen.contains(&&*item.value) {
                    continue;
                }
                seen.push(&item.value);
                let message = format!("{} uses `{}`, which the equipment list does not name", named(step), item.value);
                let finding = sink.report(at, format!("uses `{}`", item.value), message);
                finding.also(item.span, "asked for here");
                if let Some(first) = protocol.equipment.first() {
                    finding.also(first.span, "the equipment list begins here");
                }
                finding.help(format!("add `{}` to `equipment`", item.value));
            }
        }
    }
}

/// `dry towel` is listed by `dry towels`, and `rolled towel under the shins` by `rolled towel`.
fn listed(protocol: &Protocol, item: &str) -> bool {
    let item = item.to_lowercase();
    protocol.equipment.iter().map(|e| e.value.to_lowercase()).any(|e| e.contains(&item) || item.contains(&e))
}

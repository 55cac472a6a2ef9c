//! Steps before any position is named.

use super::named;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "position-missing",
    summary: "a step has no position, neither its own nor one carried on",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("position_missing.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for protocol in case.catalog.protocols.rows() {
        let Some(first) = protocol.steps.first().filter(|s| s.position.is_none()) else { continue };
        let named_later = protocol.steps.iter().find_map(|s| Some((s, s.position.as_ref()?)));
        let message = match named_later {
            Some((step, _)) => format!("{} has no position; the first is named in {}", named(first), named(step)),
            None => format!("no step of {} names a position", protocol.head.id.value),
        };
        let finding = sink.report(first.action.span, "in which position?", message);
        if let Some((_, position)) = named_later {
            finding.also(position.span(), "the first position");
        }
        finding.help(format!("add `position:` to {}; later steps carry it on until another is named", named(first)));
    }
}

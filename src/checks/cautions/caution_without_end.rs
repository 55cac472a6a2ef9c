//! A condition that passes, and nobody says when.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "caution-without-end",
    summary: "a condition does not say how long it holds",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("caution_without_end.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for condition in case.catalog.conditions.rows() {
        let name = &condition.name.value;
        match &condition.lasts {
            None => {
                sink.report(condition.name.span, "until when?", format!("`{name}` does not say how long it holds"))
                    .help("add `lasts: {kind: permanent}` or `lasts: {kind: time-bound, until: <what must have happened>}`");
            }
            Some(kind) if *kind.value == *"time-bound" && condition.until.is_none() => {
                sink.report(kind.span, "until when?", format!("`{name}` is time-bound and does not say when it ends"))
                    .help("add `until:` with a time or a sign that can be checked");
            }
            Some(_) => {}
        }
    }
}

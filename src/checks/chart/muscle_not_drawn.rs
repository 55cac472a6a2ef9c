//! Muscles without a drawing, on which no geometry can be checked.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "muscle-not-drawn",
    summary: "a muscle is not drawn on the body chart",
    level: Level::Note,
    run: Run::Facts(run),
    page: include_str!("muscle_not_drawn.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for muscle in case.catalog.muscles.rows().iter().filter(|m| m.chart.is_empty()) {
        let message = format!("{} is not drawn on the body chart", muscle.name.value);
        sink.report(muscle.name.span, "words only", message)
            .note("Points, zones and sweeps of a muscle that is not drawn are compared in words alone.")
            .help(format!("add `chart:` with an outline in at least one view; `fascicle chart {}` draws the grid", muscle.head.id.value));
    }
}

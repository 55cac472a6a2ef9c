//! Muscles without a drawing, on which no geometry can be checked.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "muscle-not-drawn",
    summary: "a muscle is not drawn on the body chart, or in no view with an outline",
    level: Level::Note,
    run: Run::Facts(run),
    page: include_str!("muscle_not_drawn.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for muscle in case.catalog.muscles.rows().iter().filter(|m| m.chart.iter().all(|d| d.outline.is_none() && !d.unread)) {
        let (name, drawn) = (&muscle.name.value, muscle.chart.first());
        let message = match drawn {
            None => format!("{name} is not drawn on the body chart"),
            Some(_) => format!("{name} is drawn on the body chart without an outline"),
        };
        sink.report(drawn.map_or(muscle.name.span, |d| d.view.span), "words only", message)
            .note("Points, zones and sweeps of a muscle that is not drawn are compared in words alone.")
            .help(format!("add `chart:` with an outline in at least one view; `fascicle chart {}` draws the grid", muscle.head.id.value));
    }
}

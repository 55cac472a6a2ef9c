//! Sweeps over a muscle whose fibres are not drawn.

use super::swept;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "fibre-direction-missing",
    summary: "a sweep follows or crosses fibres that are not drawn where it runs",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("fibre_direction_missing.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for one in swept(case) {
        let Some(rule) = one.rule else { continue };
        let mut seen = Vec::new();
        for path in &one.sweep.paths {
            if seen.contains(&path.view.value) {
                continue;
            }
            seen.push(path.view.value);
            let mut drawings = one.muscle.chart.iter().filter(|d| d.view.value == path.view.value);
            let Some(drawing) = drawings.next().filter(|d| d.fibres.is_empty() && d.outline.is_some()) else { continue };
            let view = path.view.value.word();
            let message =
                format!("step {} sweeps over {} in the view `{view}`, where no fibres are drawn", one.number(), one.muscle.name.value);
            sink.report(path.path.span, "along or across what?", message)
                .also(rule.along.span, "the technique goes by the fibres")
                .also(drawing.span, "drawn without fibres")
                .help("add `fibres:` to the drawing, each line from the proximal to the distal attachment");
        }
    }
}

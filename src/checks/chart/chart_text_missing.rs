//! Drawings without the words that say the same.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::{Places, Zone};
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "chart-text-missing",
    summary: "something is drawn on the body chart and not said in words",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("chart_text_missing.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for muscle in case.catalog.muscles.rows() {
        for point in &muscle.points {
            let Some(zone) = &point.zone else { continue };
            for (part, at) in unsaid(zone) {
                let message = format!(
                    "the {part} of the zone of point {} of {} is drawn and not said in words",
                    point.number.value, muscle.name.value
                );
                sink.report(at, "drawn only", message)
                    .note("The words are the text form of the chart, and all that a screen reader has.")
                    .help(format!("name its regions under `{part}:` of the zone"));
            }
        }
    }
    for protocol in case.catalog.protocols.rows() {
        for step in &protocol.steps {
            let Some(sweep) = step.sweep.as_ref().filter(|_| step.target.span.is_none()) else { continue };
            let message = format!("step {} of `{}` draws a sweep and names no target", step.number.value, protocol.title.value);
            sink.report(sweep.span, "drawn only", message)
                .note("The words are the text form of the chart, and all that a screen reader has.")
                .help("add `target:` with the regions, the point or the muscle");
        }
    }
}

/// Parts of a zone that are drawn and not said, each with its first outline.
fn unsaid(zone: &Zone) -> impl Iterator<Item = (&'static str, Span)> {
    let silent = |places: &Places| places.written.is_empty();
    let core = zone.drawn.iter().flat_map(|d| &d.core).next().filter(|_| silent(&zone.core));
    let spread = zone.drawn.iter().flat_map(|d| &d.spread).next().filter(|_| silent(&zone.spread));
    core.map(|o| ("core", o.span)).into_iter().chain(spread.map(|o| ("spread", o.span)))
}

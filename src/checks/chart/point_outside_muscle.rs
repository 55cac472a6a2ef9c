//! Points that are drawn beside their muscle.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::quantity::number;

/// The check.
pub static CHECK: Check = Check {
    name: "point-outside-muscle",
    summary: "a palpation point is drawn outside the outline of its muscle",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("point_outside_muscle.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, muscle) in case.catalog.muscles.iter() {
        for (point, facts) in muscle.points.iter().zip(&case.facts.chart.of(idx).points) {
            for (mark, found) in point.chart.iter().zip(&facts.marks) {
                let Some(by) = found.outside.filter(|by| *by > 0.0) else { continue };
                let by = number((by * 10.0).round() / 10.0);
                let message = format!("point {} of {} is drawn {by} cm outside the muscle", point.number.value, muscle.name.value);
                let finding = sink.report(mark.at.span, format!("{by} cm outside"), message);
                let outline = muscle.chart.iter().filter(|d| d.view.value == mark.view.value).find_map(|d| d.outline.as_ref());
                if let Some(outline) = outline {
                    finding.also(outline.span, format!("the outline in the view `{}`", mark.view.value.word()));
                }
                finding.help(format!("move the point or the outline; `fascicle chart {}` shows both on a grid", muscle.head.id.value));
            }
        }
    }
}

//! Points that are drawn beside their muscle.

use super::{Marked, blind, marked};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::quantity::number;

/// The check.
pub static CHECK: Check = Check {
    name: "point-outside-muscle",
    summary: "a palpation point is drawn outside its muscle, beside the body, or where the muscle has no outline",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("point_outside_muscle.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    marked(case).for_each(|m| one(&m, sink));
}

fn one(m: &Marked<'_>, sink: &mut Sink) {
    let Marked { muscle, point, mark, found } = *m;
    let (what, view) = (format!("point {} of {}", point.number.value, muscle.name.value), mark.view.value);
    let grid = format!("`fascicle chart {}` shows both on a grid", muscle.head.id.value);
    if found.place.is_none() {
        let message = format!("{what} lies beside the body in the view `{}`", view.word());
        sink.report(mark.at.span, "no skin here", message).help(format!("move the point; {grid}"));
        return;
    }
    if blind(muscle, view, |d| d.outline.is_some()) {
        let message = format!("{what} is drawn in the view `{}`, where the muscle has no outline", view.word());
        sink.report(mark.at.span, "in the muscle or beside it?", message)
            .also(muscle.name.span, "drawn in other views only")
            .help("add an outline in this view, or take the point out of it");
        return;
    }
    let Some(by) = found.outside.filter(|by| *by > 0.0) else { return };
    let by = number((by * 10.0).round() / 10.0);
    let finding = sink.report(mark.at.span, format!("{by} cm outside"), format!("{what} is drawn {by} cm outside the muscle"));
    let outline = muscle.chart.iter().filter(|d| d.view.value == view).find_map(|d| d.outline.as_ref());
    if let Some(outline) = outline {
        finding.also(outline.span, format!("the outline in the view `{}`", view.word()));
    }
    finding.help(format!("move the point or the outline; {grid}"));
}

//! Sweeps over skin that they say they leave out.

use super::{Swept, swept};
use crate::chart::chart;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::chart::cover::{coord, place_shape};
use crate::compute::chart::sweep::{OF_REGION, Spared};
use crate::finding::Level;
use crate::model::docs::SweepPath;
use crate::model::quantity::number;
use crate::source::Span;
use geo::{Intersects, Point};

/// The check.
pub static CHECK: Check = Check {
    name: "sweep-over-spared-skin",
    summary: "a sweep runs over a region that it is said to leave out",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("sweep_over_spared_skin.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for one in swept(case) {
        for spared in &one.facts.spared {
            judge(&one, spared, sink);
        }
    }
}

fn judge(one: &Swept<'_>, spared: &Spared, sink: &mut Sink) {
    let enters = spared.centre > one.facts.width / 2.0;
    if !enters && spared.share < OF_REGION {
        return;
    }
    let (Some(path), Some(left)) = (one.sweep.paths.get(spared.path), one.sweep.leaves_out.get(spared.row)) else { return };
    let name = spared.place.shown().to_lowercase();
    let percent = (spared.share * 100.0).round();
    let (does, label) = if enters {
        let cm = number((spared.centre * 10.0).round() / 10.0);
        (format!("runs through it for {cm} cm"), "in skin that is left out")
    } else {
        (format!("touches {percent} % of it"), "too near to skin that is left out")
    };
    let message = format!("step {} leaves out {name}, and a line {does}", one.number());
    let finding = sink.report(fault(path, spared), label, message);
    if let Some(written) = left.region.written.first() {
        finding.also(written.span, "left out");
    }
    finding
        .note(format!("The contact is {} cm wide; {percent} % of the region is touched.", number(one.facts.width)))
        .help("move or shorten the line, or take the region out of `leaves-out` and count its dose");
}

/// The first point written that lies in the place, or else the whole line.
fn fault(path: &SweepPath, spared: &Spared) -> Span {
    let shape = chart().view(path.view.value).and_then(|v| place_shape(v, spared.place));
    let first = shape.and_then(|s| path.path.points.iter().find(|p| s.intersects(&Point::from(coord(p.value)))));
    first.map_or(path.path.span, |p| p.span)
}

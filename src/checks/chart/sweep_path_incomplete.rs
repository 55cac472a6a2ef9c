//! Sweeps that start elsewhere, miss a point, leave a core or stop over the muscle.

use super::{Swept, blind, swept};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::chart::sweep::{Ends, NEAR, PathFacts};
use crate::finding::Level;
use crate::model::docs::{MuscleDrawing, SweepFrom, SweepPath};
use crate::model::quantity::number;
use crate::model::region::any_meets;

/// The check.
pub static CHECK: Check = Check {
    name: "sweep-path-incomplete",
    summary: "a sweep starts away from the attachment, misses a point or the core, or stops short",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("sweep_path_incomplete.md"),
};

/// Least share of a core region that the swath must touch: from here on a region counts as covered. House
/// practice of the tool; two lines of 2 cm touch about a third of the calf.
const LEAST: f64 = 0.15;

fn run(case: &Case<'_>, sink: &mut Sink) {
    for one in swept(case) {
        for (path, facts) in one.sweep.paths.iter().zip(&one.facts.paths) {
            starts(&one, path, facts, sink);
            stops_short(&one, path, facts, sink);
        }
        points(&one, sink);
        core(&one, sink);
    }
}

/// Distance from the attachment at which a line starts, and from the other.
fn from(ends: Ends, from: SweepFrom) -> (Option<f64>, Option<f64>) {
    match from {
        SweepFrom::Distal => (ends.distal, ends.proximal),
        _ => (ends.proximal, ends.distal),
    }
}

/// True if a line starts at the other end. It runs the wrong way, which is a fault of its own.
fn reversed(facts: &PathFacts, wanted: SweepFrom) -> bool {
    let (own, other) = from(facts.start, wanted);
    own.zip(other).is_some_and(|(own, other)| other < own)
}

fn starts(one: &Swept<'_>, path: &SweepPath, facts: &PathFacts, sink: &mut Sink) {
    let Some(wanted) = one.from() else { return };
    if nowhere(one, path, wanted, sink) {
        return;
    }
    let Some(distance) = from(facts.start, wanted).0.filter(|d| *d > NEAR && !reversed(facts, wanted)) else { return };
    let message = format!("a line of step {} starts {} cm from the {} attachment", one.number(), shown(distance), wanted.word());
    let at = path.path.points.first().map_or(path.path.span, |p| p.span);
    sink.report(at, format!("{} cm away", shown(distance)), message)
        .help(format!("start within {} cm of the attachment as drawn, or correct the drawing", number(NEAR)));
}

/// Reports a line in a view that shows no attachment to start from, once for each view.
fn nowhere(one: &Swept<'_>, path: &SweepPath, wanted: SweepFrom, sink: &mut Sink) -> bool {
    let view = path.view.value;
    let attachment = |d: &MuscleDrawing| !(if wanted == SweepFrom::Distal { &d.distal } else { &d.proximal }).is_empty();
    if !blind(one.muscle, view, attachment) {
        return false;
    }
    let first = one.sweep.paths.iter().find(|p| p.view.value == view).is_some_and(|p| p.path.span == path.path.span);
    if first {
        let (name, wanted) = (&one.muscle.name.value, wanted.word());
        let message =
            format!("step {} sweeps from the {wanted} attachment in the view `{}`, where {name} shows none", one.number(), view.word());
        sink.report(path.path.span, "starts from what?", message)
            .also(one.muscle.name.span, "the muscle")
            .help(format!("add `attachments: {{{wanted}: …}}` to the muscle in this view, or draw the line in a view that shows it"));
    }
    true
}

fn stops_short(one: &Swept<'_>, path: &SweepPath, facts: &PathFacts, sink: &mut Sink) {
    let Some(wanted) = one.from() else { return };
    let Some(rest) = from(facts.end, wanted).1.filter(|rest| *rest > NEAR && facts.ends_over && !reversed(facts, wanted)) else { return };
    let message = format!("a line of step {} stops over the muscle, {} cm before the other attachment", one.number(), shown(rest));
    let at = path.path.points.last().map_or(path.path.span, |p| p.span);
    sink.report(at, "stops here", message).help("lead the line past the muscle, to the other attachment or on into the zone");
}

fn points(one: &Swept<'_>, sink: &mut Sink) {
    for (number, _) in one.facts.points.iter().filter(|(_, passed)| !passed) {
        let message = format!("no line of step {} passes through the circle of point {number}", one.number());
        let finding = sink.report(one.sweep.span, format!("misses point {number}"), message);
        let point = one.muscle.points.iter().find(|p| p.number.value == *number);
        if let Some(mark) = point.and_then(|p| p.chart.first()) {
            finding.also(mark.at.span, "the point");
        }
        finding.help("lead a line through the point, or add one");
    }
}

fn core(one: &Swept<'_>, sink: &mut Sink) {
    let mut missed: Vec<String> = Vec::new();
    for part in one.facts.core.iter().filter(|t| t.share < LEAST) {
        let left_out = part.place.is_some_and(|p| one.sweep.leaves_out.iter().any(|l| any_meets(&l.region.all, &[p])));
        if !left_out {
            let name = part.place.map_or("a drawn part".into(), |p| p.shown().to_lowercase());
            missed.push(format!("{name} ({} %)", (part.share * 100.0).round()));
        }
    }
    missed.sort();
    missed.dedup();
    if missed.is_empty() {
        return;
    }
    let message = format!("the sweep of step {} hardly touches a part of the core of the zone: {}", one.number(), missed.join(", "));
    sink.report(one.sweep.span, format!("touches less than {} % of it", (LEAST * 100.0).round()), message)
        .note(format!(
            "The contact is {} cm wide. The swath is a flat picture of a round body, so shares are rough.",
            number(one.facts.width)
        ))
        .help("lengthen or add lines, or write `leaves-out: [{region: …, why: …}]` if it is left out on purpose");
}

fn shown(cm: f64) -> String {
    number((cm * 10.0).round() / 10.0)
}

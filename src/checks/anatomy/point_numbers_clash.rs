//! Two points of a muscle with one number, and steps that aim at a number which no point has.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::{Muscle, Target};

/// The check.
pub static CHECK: Check = Check {
    name: "point-numbers-clash",
    summary: "two points share a number, or a step aims at a number that no point has",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("point_numbers_clash.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for muscle in case.catalog.muscles.rows() {
        repeated(muscle, sink);
    }
    for protocol in case.catalog.protocols.rows() {
        let Some(muscle) = protocol.muscle.to.map(|m| &case.catalog.muscles[m]) else { continue };
        let steps = protocol.steps.iter().map(|s| &s.target);
        steps.chain(protocol.home.iter().map(|h| &h.target)).for_each(|t| aimed(muscle, t, sink));
    }
}

fn repeated(muscle: &Muscle, sink: &mut Sink) {
    for (row, point) in muscle.points.iter().enumerate() {
        let number = point.number.value;
        if let Some(first) = muscle.points.iter().take(row).find(|p| p.number.value == number) {
            let free = muscle.points.iter().map(|p| p.number.value).max().unwrap_or(0).saturating_add(1);
            sink.report(point.number.span, "used again", format!("{} has two points with the number {number}", muscle.name.value))
                .also(first.number.span, "first used here")
                .help(format!("write `number: {free}`, and aim the steps at the point that is meant"));
        }
    }
}

fn aimed(muscle: &Muscle, target: &Target, sink: &mut Sink) {
    let Some(point) = &target.point else { return };
    if muscle.points.iter().any(|p| p.number.value == point.value) {
        return;
    }
    let list = muscle.points.iter().map(|p| p.number.value.to_string()).collect::<Vec<_>>().join(", ");
    let finding = sink.report(point.span, "no such point", format!("{} has no point {}", muscle.name.value, point.value));
    if let Some(first) = muscle.points.first() {
        finding.also(first.number.span, "its points begin here");
    }
    finding.help(format!("write one of its points: {list}"));
}

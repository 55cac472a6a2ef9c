//! Stretches with a joint beyond the normal range of adults.

use crate::checks::dose::item::items;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::amount::degrees;
use crate::compute::mechanics::facts::{Placed, placed};
use crate::compute::mechanics::range;
use crate::finding::Level;
use crate::model::motion::Motion;
use crate::model::vocabulary::Stressor;

/// The check.
pub static CHECK: Check = Check {
    name: "stretch-beyond-range",
    summary: "a stretch sets a joint beyond every figure for the normal range of adults",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("stretch_beyond_range.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for item in items(case) {
        if item.facts.load(Stressor::Stretch).is_none() {
            continue;
        }
        let position = item.facts.position.map(|p| &case.catalog.positions[p]);
        for joint in placed(item.joints, position) {
            judge(&item.name, item.at, &joint, sink);
        }
    }
}

fn judge(step: &str, at: crate::source::Span, joint: &Placed, sink: &mut Sink) {
    let Some(figure) = range::exceeded(joint.joint, joint.farthest) else { return };
    let motion = Motion { coordinate: joint.joint, positive: joint.farthest > 0.0 }.shown();
    let (set, most) = (degrees(joint.farthest.abs()), degrees(figure.degrees));
    let message = format!("{step} sets {set} of {motion}, and the largest figure for the normal range of adults is {most}");
    let finding = sink.report(if joint.carried { at } else { joint.at }, "beyond the normal range", message);
    if joint.carried {
        finding.also(joint.at, "set by the position");
    }
    finding.note(format!("{most}: {}, {} ({}).", figure.population, figure.source, figure.seen));
    finding.help(format!("set {most} or less, and let the person's own range decide"));
}

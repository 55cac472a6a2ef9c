//! Muscles whose zones look alike and that do not send the reader to each other.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::Idx;
use crate::model::docs::Muscle;

/// The check.
pub static CHECK: Check = Check {
    name: "look-alike-zones",
    summary: "the cores of two muscles share half or more of the smaller, and they do not name each other",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("look_alike_zones.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let muscles = &case.catalog.muscles;
    let names = |one: Idx<Muscle>, two: Idx<Muscle>| muscles[one].look_alikes.iter().any(|l| l.muscle.to == Some(two));
    for pair in case.facts.chart.overlaps.iter().filter(|o| o.looks_alike()) {
        for (own, other) in [(pair.one, pair.two), (pair.two, pair.one)] {
            if names(own, other) {
                continue;
            }
            let (name, also) = (&muscles[own].name, &muscles[other].name);
            let percent = (pair.alike.of_smaller * 100.0).round();
            let message = format!(
                "the cores of {} and {} share {percent} % of the smaller, and {} does not name the other",
                name.value, also.value, name.value
            );
            sink.report(name.span, "whoever reads here misses the other", message).also(also.span, "hurts in the same places").help(
                format!(
                    "add to {}: `look-alikes: [{{muscle: {}, tell-apart: …}}]`",
                    muscles[own].head.id.value, muscles[other].head.id.value
                ),
            );
        }
    }
}

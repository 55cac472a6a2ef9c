//! Heat under a part of the body that carries weight.

use super::{names, warmed};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::thermal::apparatus::Way;
use crate::finding::Level;
use crate::model::region::{Place, any_meets};

/// The check.
pub static CHECK: Check = Check {
    name: "lying-on-heat",
    summary: "the heated region carries weight in the position of the step",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("lying_on_heat.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for step in warmed(case).iter().filter(|w| w.way == Way::Heat) {
        let Some(position) = step.item.facts.position.map(|p| &case.catalog.positions[p]) else { continue };
        let under: Vec<Place> = step.item.facts.places.iter().copied().filter(|p| any_meets(&position.bears_weight.all, &[*p])).collect();
        if under.is_empty() {
            continue;
        }
        let places = names(&under);
        let message = format!("{} heats skin that carries weight in `{}`: {places}", step.item.name, position.name.value);
        let finding = sink.report(step.item.at, format!("lies on the heat: {places}"), message);
        if let (Some(first), Some(last)) = (position.bears_weight.written.first(), position.bears_weight.written.last()) {
            finding.also(crate::source::Span { end: last.span.end, ..first.span }, "carries weight in it");
        }
        finding
            .note("Pressed skin gets little blood and cannot carry heat away, and the weight presses the towels thin.")
            .help("give the step a position that leaves the region on top, or heat another way");
    }
}

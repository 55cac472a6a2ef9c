//! Long lying without a word about getting up slowly.

use super::{named, time};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::ProtocolFacts;
use crate::finding::Level;
use crate::model::docs::{Position, Protocol};
use crate::model::interval::exceeds;
use crate::model::region::regions;

/// The check.
pub static CHECK: Check = Check {
    name: "rise-slowly-missing",
    summary: "the person lies for long and nobody says to get up slowly",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("rise_slowly_missing.md"),
};

/// Lying for longer than this calls for advice, in seconds. House figure of this tool, no source.
const LONG: f64 = 600.0;

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        let facts = case.facts.of(idx);
        for (first, last) in lying_runs(case, facts) {
            let (Some(from), Some(to)) = (facts.timeline.slots.get(first), facts.timeline.slots.get(last)) else { continue };
            let lasts = to.end.hi - from.start.hi;
            let position = facts.steps.get(last).and_then(|s| s.position).map(|p| &case.catalog.positions[p]);
            if let Some(position) = position
                && exceeds(lasts, LONG)
                && !advised(protocol, position)
            {
                report(protocol, position, (first, last), lasts, sink);
                break;
            }
        }
    }
}

/// First and last step of each time on the table.
fn lying_runs(case: &Case<'_>, facts: &ProtocolFacts) -> Vec<(usize, usize)> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for (row, step) in facts.steps.iter().enumerate() {
        if !step.position.is_some_and(|p| is_lying(&case.catalog.positions[p])) {
            continue;
        }
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == row => *last = row,
            _ => runs.push((row, row)),
        }
    }
    runs
}

/// Whoever lies rests the trunk: chest, belly or back.
fn is_lying(position: &Position) -> bool {
    let group = |p: &crate::model::region::Place| regions().body_part(p.region);
    position.bears_weight.all.iter().any(|p| matches!(group(p), "chest-wall" | "abdomen" | "back"))
}

fn advised(protocol: &Protocol, position: &Position) -> bool {
    let slow = |text: &str| ["slow", "wait", "pause", "take your time"].iter().any(|w| text.to_lowercase().contains(w));
    let rise = |text: &str| ["sit", "stand", "rise", "get up"].iter().any(|w| text.to_lowercase().contains(w));
    let out = position.handling.iter().filter(|(label, _)| *label == "Getting out").map(|(_, t)| t);
    let education = protocol.steps.iter().filter_map(|s| s.monitoring.as_ref()).chain(protocol.steps.iter().map(|s| &s.action));
    out.chain(&protocol.aftercare).chain(education).any(|t| slow(&t.value) && rise(&t.value))
}

fn report(protocol: &Protocol, position: &Position, (first, last): (usize, usize), lasts: f64, sink: &mut Sink) {
    let (Some(from), Some(to)) = (protocol.steps.get(first), protocol.steps.get(last)) else { return };
    let message = format!("the person lies for up to {} and is not told to get up slowly", time(lasts));
    let at = protocol.aftercare.first().map_or(to.action.span, |a| a.span);
    let finding = sink.report(at, "no word about getting up", message);
    finding.also(from.action.span, format!("lying from here to {}", named(to)));
    if let Some((_, out)) = position.handling.iter().find(|(label, _)| *label == "Getting out") {
        finding.also(out.span, "no word here either");
    }
    finding.help("add to `aftercare`: Sit up slowly and wait a minute before standing");
}

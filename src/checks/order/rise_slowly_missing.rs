//! Long lying without a word about getting up slowly.

use super::{named, time};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::session::Visit;
use crate::compute::timeline::Timeline;
use crate::finding::Level;
use crate::model::Idx;
use crate::model::docs::{Position, Protocol, Session, Step};
use crate::model::interval::exceeds;
use crate::model::region::regions;
use crate::source::Span;

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
        let positions = facts.steps.iter().map(|s| s.position);
        if let Some(run) = too_long(case, positions, &facts.timeline, |last| !advised(protocol, last)) {
            in_protocol(protocol, &run, sink);
        }
    }
    for (session, facts) in case.catalog.sessions.rows().iter().zip(&case.facts.sessions) {
        let visit = &facts.visit;
        let protocols: Vec<&Protocol> = visit.parts.iter().map(|p| &case.catalog.protocols[*p]).collect();
        // What one protocol fails to say is told there if its own steps are enough.
        let alone = |p: &Idx<Protocol>| {
            let facts = case.facts.of(*p);
            let positions = facts.steps.iter().map(|s| s.position);
            too_long(case, positions, &facts.timeline, |last| !advised(&case.catalog.protocols[*p], last)).is_some()
        };
        if visit.parts.len() < 2 || visit.parts.iter().any(alone) {
            continue;
        }
        let silent = |last: &Position| !protocols.iter().any(|p| advised(p, last));
        if let Some(run) = too_long(case, visit.acts.iter().map(|a| a.position), &visit.timeline, silent) {
            in_session(case, session, visit, &run, sink);
        }
    }
}

/// A time on the table: its first and last row, the position at its end, how long it is at most in seconds.
struct Lying<'a> {
    first: usize,
    last: usize,
    position: &'a Position,
    lasts: f64,
}

/// The first time on the table that is too long and of which `silent` is true.
fn too_long<'a>(
    case: &Case<'a>,
    positions: impl Iterator<Item = Option<Idx<Position>>>,
    timeline: &Timeline,
    silent: impl Fn(&Position) -> bool,
) -> Option<Lying<'a>> {
    let positions: Vec<Option<&Position>> = positions.map(|p| p.map(|p| &case.catalog.positions[p])).collect();
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for (row, _) in positions.iter().enumerate().filter(|(_, p)| p.is_some_and(is_lying)) {
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == row => *last = row,
            _ => runs.push((row, row)),
        }
    }
    runs.into_iter().find_map(|(first, last)| {
        let lasts = timeline.slots.get(last)?.end.hi - timeline.slots.get(first)?.start.hi;
        let position = positions.get(last).copied().flatten()?;
        (exceeds(lasts, LONG) && silent(position)).then_some(Lying { first, last, position, lasts })
    })
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

fn in_protocol(protocol: &Protocol, run: &Lying<'_>, sink: &mut Sink) {
    let (Some(from), Some(to)) = (protocol.steps.get(run.first), protocol.steps.get(run.last)) else { return };
    let at = protocol.aftercare.first().map_or(to.action.span, |a| a.span);
    report(at, (from, to), run, sink);
}

/// Each protocol is short enough; one after the other they are not.
fn in_session(case: &Case<'_>, session: &Session, visit: &Visit, run: &Lying<'_>, sink: &mut Sink) {
    let step = |row: usize| {
        let lead = visit.acts.get(row)?.steps.lead;
        case.catalog.protocols[*visit.parts.get(lead.part)?].steps.get(lead.step)
    };
    if let (Some(from), Some(to)) = (step(run.first), step(run.last)) {
        report(session.title.span, (from, to), run, sink);
    }
}

fn report(at: Span, (from, to): (&Step, &Step), run: &Lying<'_>, sink: &mut Sink) {
    let message = format!("the person lies for up to {} and is not told to get up slowly", time(run.lasts));
    let finding = sink.report(at, "no word about getting up", message);
    finding.also(from.action.span, format!("lying from here to {}", named(to)));
    if let Some((_, out)) = run.position.handling.iter().find(|(label, _)| *label == "Getting out") {
        finding.also(out.span, "no word here either");
    }
    finding.help("add to `aftercare`: Sit up slowly and wait a minute before standing");
}

//! An order that makes the person turn more often than its rules need.

use crate::checks::{Case, Check, Run, Sink};
use crate::compute::session::Way;
use crate::compute::session::regroup::fewest;
use crate::finding::Level;
use crate::model::Idx;
use crate::model::docs::Protocol;
use std::collections::BTreeSet;

/// The check.
pub static CHECK: Check = Check {
    name: "turns-above-minimum",
    summary: "the person turns more often than the rules on the order need",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("turns_above_minimum.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        in_protocol(case, idx, protocol, sink);
    }
    for (session, facts) in case.catalog.sessions.rows().iter().zip(&case.facts.sessions) {
        let visit = &facts.visit;
        let (Some(order), Some(fewest)) = (&session.order, visit.fewest.filter(|_| visit.way == Way::AsListed)) else { continue };
        if fewest < visit.timeline.turns {
            let message = format!("the person turns {}, and {} would do", times(visit.timeline.turns), times(fewest));
            sink.report(order.span, "one protocol after the other", message)
                .note("The rules between the protocols hold in both orders, and each protocol keeps the order of its steps.")
                .help("write `order: fewest turns`, or delete the line, and the steps are put in that order");
        }
    }
}

fn in_protocol(case: &Case<'_>, idx: Idx<Protocol>, protocol: &Protocol, sink: &mut Sink) {
    let facts = case.facts.of(idx);
    let turns = facts.timeline.turns;
    let positions: BTreeSet<_> = facts.steps.iter().filter_map(|s| s.position).collect();
    if turns < positions.len() {
        return;
    }
    let Some(found) = fewest(case.catalog, idx, facts).filter(|f| f.turns < turns) else { return };
    let moved = found.order.iter().enumerate().find(|(i, row)| i != *row).and_then(|(_, row)| protocol.steps.get(*row));
    let at = moved.map_or(protocol.title.span, |s| s.action.span);
    let numbers: Vec<String> = found.order.iter().filter_map(|row| protocol.steps.get(*row)).map(|s| s.number.value.to_string()).collect();
    let message = format!("the person turns {}, and {} would do", times(turns), times(found.turns));
    let finding = sink.report(at, "could be done earlier", message);
    for (step, _) in protocol.steps.iter().zip(&facts.steps).filter(|(_, f)| f.turns) {
        if step.action.span != at {
            finding.also(step.action.span, "the person turns before this");
        }
    }
    finding
        .note("Only steps whose order says nothing have changed places: pressing at another place, measures of one time, a baseline and a test of feeling.")
        .help(format!("put the steps in this order: {}", numbers.join(", ")));
}

fn times(n: usize) -> String {
    match n {
        0 => "never".into(),
        1 => "once".into(),
        _ => format!("{n} times"),
    }
}

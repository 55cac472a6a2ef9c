//! Positions that a person of the protocol's population must not take.

use super::named;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::{Condition, ForWhom, Position, Protocol, Step};
use crate::model::{Idx, Ref};
use crate::source::Text;

/// The check.
pub static CHECK: Check = Check {
    name: "position-blocked-by-condition",
    summary: "a position is barred by a condition that the population does not exclude",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("position_blocked_by_condition.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for protocol in case.catalog.protocols.rows() {
        let mut seen: Vec<Idx<Position>> = Vec::new();
        for step in &protocol.steps {
            let Some((taken, position)) = step.position.as_ref().and_then(|r| Some((r, r.to?))) else { continue };
            if seen.contains(&position) {
                continue;
            }
            seen.push(position);
            for (condition, why) in &case.catalog.positions[position].barred_by {
                let Some(idx) = condition.to else { continue };
                if admits(&protocol.population, idx, &case.catalog.conditions[idx]) {
                    let bar = Bar { taken, position: &case.catalog.positions[position], condition: &case.catalog.conditions[idx], why };
                    report(protocol, step, &bar, sink);
                }
            }
        }
    }
}

struct Bar<'a> {
    taken: &'a Ref<Position>,
    position: &'a Position,
    condition: &'a Condition,
    why: &'a Text,
}

/// True if a person with the condition may be treated by the protocol.
///
/// `pregnancy: excluded` keeps out every condition of pregnancy; with `included` only the list of
/// excluded conditions does. Where pregnancy is not stated at all, that is the mistake to put right
/// first, and another check reports it.
fn admits(population: &ForWhom, idx: Idx<Condition>, condition: &Condition) -> bool {
    if population.excludes.iter().any(|r| r.to == Some(idx)) {
        return false;
    }
    let of_pregnancy = condition.head.id.value.contains("pregnan");
    !of_pregnancy || population.pregnancy.as_ref().is_some_and(|p| &*p.value == "included")
}

fn report(protocol: &Protocol, step: &Step, bar: &Bar<'_>, sink: &mut Sink) {
    let (position, condition) = (&bar.position.name.value, &bar.condition.name.value);
    let message = format!("{} takes `{position}`, which is barred in `{condition}`, and the protocol does not exclude it", named(step));
    let id = &bar.condition.head.id.value;
    let finding = sink.report(bar.taken.span(), format!("barred in `{condition}`"), message);
    finding.also(bar.why.span, "why it is barred");
    let population = &protocol.population;
    match population.pregnancy.as_ref().filter(|_| id.contains("pregnan")) {
        Some(pregnancy) => finding.also(pregnancy.span, "pregnancy is included"),
        None => finding.also(population.span.unwrap_or(protocol.title.span), format!("`{id}` is not excluded here")),
    };
    finding.help(format!("add `{id}` to `excludes` of the population, or name another position in {}", named(step)));
}

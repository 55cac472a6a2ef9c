//! A step that is offered to people for whom it is barred.
//!
//! Two things can be known without a person in the room: a protocol that says it includes pregnancy
//! offers its steps to people with every pregnancy condition, and a protocol offers itself to whoever
//! its `excludes` does not name. Words in `for` and `not-for` are not interpreted.

use super::{action, listed, row_words};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::ProtocolFacts;
use crate::compute::cautions::{Caution, Hit};
use crate::finding::Level;
use crate::model::docs::{Condition, Protocol};
use crate::model::vocabulary::Stressor;
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "blocked-step-offered",
    summary: "a step is offered to people for whom a condition bars it",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("blocked_step_offered.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        let facts = case.facts.of(idx);
        for caution in &facts.cautions {
            if protocol.population.excludes.iter().any(|e| e.to == Some(caution.condition)) {
                continue;
            }
            let condition = &case.catalog.conditions[caution.condition];
            let hits = barred(condition, caution);
            let included = protocol.population.pregnancy.as_ref().filter(|p| *p.value == *"included" && is_pregnancy(condition));
            if let (Some(included), false) = (included, hits.is_empty()) {
                included_anyway(protocol, condition, included.span, &hits, sink);
            } else if nothing_left(facts, &hits) {
                not_excluded(protocol, condition, &hits, sink);
            }
        }
    }
}

/// Hits that hold for everybody who has the condition. What a position does is judged with positions.
fn barred(condition: &Condition, caution: &Caution) -> Vec<Hit> {
    let bars = |hit: &Hit| condition.rules.get(hit.rule).is_some_and(|row| condition.bars(row));
    caution.hits.iter().copied().filter(|h| h.stressor != Stressor::Position && bars(h)).collect()
}

/// True if the condition is about pregnancy, by id or name.
fn is_pregnancy(condition: &Condition) -> bool {
    [&condition.head.id, &condition.name].into_iter().any(|t| t.value.to_lowercase().contains("pregnan"))
}

/// True if every step that loads the body is barred.
fn nothing_left(facts: &ProtocolFacts, hits: &[Hit]) -> bool {
    let mut treating = facts.steps.iter().enumerate().filter(|(_, s)| s.is_treatment()).peekable();
    treating.peek().is_some() && treating.all(|(i, _)| hits.iter().any(|h| !h.home && h.step == i))
}

fn included_anyway(protocol: &Protocol, condition: &Condition, at: Span, hits: &[Hit], sink: &mut Sink) {
    let mut rows: Vec<String> = hits.iter().filter_map(|h| condition.rules.get(h.rule)).map(row_words).collect();
    rows.dedup();
    let id = &condition.head.id.value;
    let message = format!("`{}` includes pregnancy, and `{}` has {}", protocol.title.value, condition.name.value, listed(&rows));
    let finding = sink.report(at, "offered in pregnancy", message);
    for hit in hits {
        if let (Some(step), Some(row)) = (action(protocol, hit), condition.rules.get(hit.rule)) {
            finding.also(step, format!("loads with {}", hit.stressor.word())).also(row.strength_at, "barred here");
        }
    }
    finding.help(format!("take the steps out, write `pregnancy: excluded`, or add `{id}` to `excludes`"));
}

fn not_excluded(protocol: &Protocol, condition: &Condition, hits: &[Hit], sink: &mut Sink) {
    let id = &condition.head.id.value;
    let message =
        format!("`{}` is offered to people with `{}`, which bars every treatment step", protocol.title.value, condition.name.value);
    let last = protocol.population.excludes.last();
    let at = last.map(crate::model::ids::Ref::span).or(protocol.population.span).unwrap_or(protocol.title.span);
    let label = if last.is_some() { format!("`{id}` is not among those excluded") } else { "nobody is excluded".to_string() };
    let finding = sink.report(at, label, message);
    for hit in hits.iter().filter(|h| !h.home) {
        if let Some(row) = condition.rules.get(hit.rule) {
            finding.also(row.strength_at, format!("bars {}", hit.stressor.word()));
        }
    }
    finding.help(format!("add `{id}` to `excludes` under `population`"));
}

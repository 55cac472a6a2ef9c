//! A limit without a number and without something else to do.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::{Condition, DoseValue, Rule};
use crate::model::vocabulary::Strength;

/// The check.
pub static CHECK: Check = Check {
    name: "limit-without-number",
    summary: "a limit of a condition has neither numbers nor a technique to use instead",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("limit_without_number.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for condition in case.catalog.conditions.rows() {
        for row in condition.all_rules().filter(|r| r.strength == Strength::Limit && r.instead.is_none()) {
            report(condition, row, sink);
        }
    }
}

fn report(condition: &Condition, row: &Rule, sink: &mut Sink) {
    let (name, stressor) = (&condition.name.value, row.stressor.word());
    let word = row.max.entries.iter().find_map(|e| match &e.value {
        DoseValue::Word(word) => Some((e, word)),
        _ => None,
    });
    let numbers = row.max.entries.iter().any(|e| !matches!(e.value, DoseValue::Word(_)));
    let finding = match word {
        _ if numbers => return,
        Some((entry, word)) => {
            sink.report(entry.span, "no number", format!("`{name}` limits `{stressor}` to `{word}`, which is no number"))
        }
        None => sink.report(row.strength_at, "limited to what?", format!("`{name}` limits `{stressor}` and gives no number")),
    };
    finding.help("write the most that is allowed, as `max: {<parameter>: <number and unit>}`, or a technique under `instead:`");
}

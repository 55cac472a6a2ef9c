//! A condition that leaves a stressor open, everywhere or somewhere.

use super::listed;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::Condition;
use crate::model::vocabulary::Stressor;

/// The check.
pub static CHECK: Check = Check {
    name: "caution-matrix-gap",
    summary: "a condition does not say what holds for a stressor, everywhere or outside some regions",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("caution_matrix_gap.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for condition in case.catalog.conditions.rows() {
        unset(condition, sink);
        for stressor in Stressor::ALL {
            open_outside(condition, *stressor, sink);
        }
    }
}

/// Stressors without any row: one mistake, however many are missing.
fn unset(condition: &Condition, sink: &mut Sink) {
    let missing: Vec<String> =
        Stressor::ALL.iter().filter(|s| !condition.rules.iter().any(|r| r.stressor == **s)).map(|s| format!("`{}`", s.word())).collect();
    let Some(first) = missing.first() else { return };
    let message = format!("`{}` says nothing about {}", condition.name.value, listed(&missing));
    let label =
        if missing.len() == 1 { format!("{first} is not among them") } else { format!("{} stressors are not among them", missing.len()) };
    sink.report(condition.rules_at, label, message)
        .note("Silence is read as `no restriction` at the table.")
        .help(format!("give each a strength, for instance {}; write `no restriction` only where that was decided", example(first)));
}

fn example(quoted: &str) -> String {
    format!("`{}: ask first`", quoted.trim_matches('`'))
}

/// Rows for some regions and none for the rest of the body.
fn open_outside(condition: &Condition, stressor: Stressor, sink: &mut Sink) {
    let rows: Vec<_> = condition.rules.iter().filter(|r| r.stressor == stressor).collect();
    if rows.iter().any(|r| r.is_everywhere()) {
        return;
    }
    let Some((first, rest)) = rows.split_first() else { return };
    let word = stressor.word();
    let message = format!("`{}` says what holds for `{word}` in some regions and not elsewhere", condition.name.value);
    let at = first.regions.written.first().map_or(first.strength_at, |w| w.span);
    let finding = sink.report(at, "holds only in these regions", message);
    for row in rest {
        finding.also(row.regions.written.first().map_or(row.strength_at, |w| w.span), "and in these");
    }
    finding.help(format!("add a row without `regions` under `{word}:` for the rest of the body, for instance `- {{strength: watch}}`"));
}

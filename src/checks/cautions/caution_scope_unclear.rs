//! A condition that does not say whether to stop or to go round.

use super::row_words;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::Condition;
use crate::model::vocabulary::Strength;

/// The check.
pub static CHECK: Check = Check {
    name: "caution-scope-unclear",
    summary: "a condition does not say whether it holds at a place or for the whole person",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("caution_scope_unclear.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for condition in case.catalog.conditions.rows() {
        match &condition.scope {
            None => {
                let message = format!("`{}` does not say whether it holds at a place or for the whole person", condition.name.value);
                sink.report(condition.name.span, "local or general?", message)
                    .help("write `scope: local` (go round the place) or `scope: general` (holds for the whole person)");
            }
            Some(scope) if *scope.value == *"general" => here_is_nowhere(condition, scope.span, sink),
            Some(_) => {}
        }
    }
}

/// `not here` in a general condition needs regions; otherwise nobody knows where "here" is.
fn here_is_nowhere(condition: &Condition, scope: crate::source::Span, sink: &mut Sink) {
    for row in condition.all_rules().filter(|r| r.strength == Strength::NotHere && r.is_everywhere()) {
        let message = format!("`{}` holds for the whole person and has {} without a place", condition.name.value, row_words(row));
        sink.report(row.strength_at, "where is here?", message)
            .also(scope, "holds for the whole person")
            .help("write `never`, name the regions of this row, or write `scope: local`");
    }
}

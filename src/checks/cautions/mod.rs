//! Conditions and what follows from them: no cell left open, no cell with two answers, no step for
//! whom it is barred.

use super::Check;
use crate::compute::cautions::Hit;
use crate::model::docs::{Protocol, Rule};
use crate::source::Span;

mod blocked_step_offered;
mod caution_hand_typed;
mod caution_inconsistent;
mod caution_matrix_gap;
mod caution_scope_unclear;
mod caution_unsourced;
mod caution_without_end;
mod combination_changes_nothing;
mod limit_binds_nothing;
mod limit_without_number;
mod measure_load_not_carried;
mod screen_question_missing;
mod substitute_also_blocked;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[
    &blocked_step_offered::CHECK,
    &caution_hand_typed::CHECK,
    &caution_inconsistent::CHECK,
    &caution_matrix_gap::CHECK,
    &caution_scope_unclear::CHECK,
    &caution_unsourced::CHECK,
    &caution_without_end::CHECK,
    &combination_changes_nothing::CHECK,
    &limit_binds_nothing::CHECK,
    &limit_without_number::CHECK,
    &measure_load_not_carried::CHECK,
    &screen_question_missing::CHECK,
    &substitute_also_blocked::CHECK,
];

/// A row as an author would write it: stressor and strength.
fn row_words(row: &Rule) -> String {
    format!("`{}: {}`", row.stressor.word(), row.strength.word())
}

/// Where it is written what is done at a hit.
fn action(protocol: &Protocol, hit: &Hit) -> Option<Span> {
    if hit.home { protocol.home.get(hit.step).map(|h| h.action.span) } else { protocol.steps.get(hit.step).map(|s| s.action.span) }
}

/// `a`, `a and b`, `a, b and c`.
fn listed(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [head @ .., last] => format!("{} and {last}", head.join(", ")),
    }
}

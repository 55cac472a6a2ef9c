//! Checks of the area "order": what must come before what, and what must not be left out.

use super::Check;
use crate::compute::ProtocolFacts;
use crate::model::Catalog;
use crate::model::docs::{Protocol, Step};
use crate::model::interval::Interval;
use crate::model::quantity;
use crate::model::vocabulary::Role;

mod baseline_missing;
mod closing_step_missing;
mod consent_not_before_exposure;
mod cool_window_missed;
mod monitoring_gap;
mod order_rule_broken;
mod pressure_on_cooled_skin;
mod rise_slowly_missing;
mod screen_not_first;
mod step_unreachable;
mod stop_leads_nowhere;
mod two_actions_one_step;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[
    &baseline_missing::CHECK,
    &closing_step_missing::CHECK,
    &consent_not_before_exposure::CHECK,
    &cool_window_missed::CHECK,
    &monitoring_gap::CHECK,
    &order_rule_broken::CHECK,
    &pressure_on_cooled_skin::CHECK,
    &rise_slowly_missing::CHECK,
    &screen_not_first::CHECK,
    &step_unreachable::CHECK,
    &stop_leads_nowhere::CHECK,
    &two_actions_one_step::CHECK,
];

/// Seconds as people write them; never more than they are.
fn time(seconds: f64) -> String {
    let minutes = seconds / 60.0;
    let whole = minutes >= 1.0 && minutes.fract() == 0.0;
    if whole || minutes >= 2.0 {
        quantity::show(Interval::exact((minutes * 10.0).floor() / 10.0), quantity::unit_named("min"))
    } else {
        quantity::show(Interval::exact(seconds.floor()), quantity::unit_named("s"))
    }
}

/// Row of the first step that loads the body.
fn first_load(facts: &ProtocolFacts) -> Option<usize> {
    facts.steps.iter().position(super::super::compute::steps::StepFacts::is_treatment)
}

/// First step that treats, where taking a measure is none.
fn first_treatment(catalog: &Catalog, facts: &ProtocolFacts) -> Option<usize> {
    let measures = |t| catalog.techniques[t].role == Role::Measurement;
    facts.steps.iter().position(|s| s.is_treatment() && !s.technique.is_some_and(measures))
}

/// True if a technique before this step could not be linked; that was reported.
fn unclear_before(protocol: &Protocol, row: usize) -> bool {
    protocol.steps.iter().take(row).any(|s| s.technique.to.is_none())
}

/// How a step is named in messages.
fn named(step: &Step) -> String {
    format!("step {}", step.number.value)
}

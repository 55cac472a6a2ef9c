//! Checks of the area "measurement": what a measured change, and a palpated sign, can show.

use super::Check;
use crate::model::docs::{Protocol, Step};
use crate::model::interval::Interval;
use crate::model::quantity::{self, Quantity};

mod change_below_error;
mod error_unknown;
mod immediate_effect_unlabelled;
mod licensed_scale_reproduced;
mod mdc_arithmetic;
mod meaningful_below_error;
mod palpation_certainty_overstated;
mod reliability_borrowed;
mod retest_differs_from_baseline;
mod scale_anchors_missing;
mod stated;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[
    &change_below_error::CHECK,
    &error_unknown::CHECK,
    &immediate_effect_unlabelled::CHECK,
    &licensed_scale_reproduced::CHECK,
    &mdc_arithmetic::CHECK,
    &meaningful_below_error::CHECK,
    &palpation_certainty_overstated::CHECK,
    &reliability_borrowed::CHECK,
    &retest_differs_from_baseline::CHECK,
    &scale_anchors_missing::CHECK,
];

/// Steps that measure again.
fn retests(protocol: &Protocol) -> impl Iterator<Item = (usize, &Step)> {
    protocol.steps.iter().enumerate().filter(|(_, s)| s.measure.is_some() && is(s, "re-test"))
}

fn is(step: &Step, when: &str) -> bool {
    step.when.as_ref().is_some_and(|w| &*w.value == when)
}

/// An amount in base units, in the unit of `like`.
fn shown(like: &Quantity, base: Interval) -> String {
    quantity::show_base(like.unit, base)
}

//! Temperatures and times of the model as people read them: one place for pages, messages and tables.

use super::scenario::{Exposure, Outcome, RE_WARM};
use crate::model::quantity::number;

/// A temperature in degC with one decimal.
pub fn degrees(t: f64) -> String {
    format!("{}\u{a0}°C", number((t * 10.0).round() / 10.0))
}

/// A time in s for people: seconds below two minutes, else minutes, with one decimal.
pub fn time(seconds: f64) -> String {
    if seconds < 9.95 {
        format!("{}\u{a0}s", number((seconds * 10.0).round() / 10.0))
    } else if seconds < 120.0 {
        format!("{}\u{a0}s", number(seconds.round()))
    } else {
        format!("{}\u{a0}min", number((seconds / 6.0).round() / 10.0))
    }
}

/// How long heat lies in the model until a limit is reached.
pub fn safe(exposure: &Exposure, outcome: &Outcome) -> String {
    outcome.safe.map_or_else(|| format!("over {}", time(exposure.scenario.searched())), time)
}

/// When skin is warm again after cold, counted from its end.
pub fn rewarm(exposure: &Exposure) -> String {
    exposure.rewarm().map_or_else(|| format!("later than {}", time(RE_WARM)), |t| format!("after {}", time(t)))
}

//! Numbers and claims as messages of this area say them.

use crate::compute::evidence::Estimate;
use crate::model::Catalog;
use crate::model::Idx;
use crate::model::docs::{Outcome, Printed, StudyResult};
use crate::model::evidence::EffectMeasure;

/// A number with two decimals; one that would read 0.00 with three figures.
pub(super) fn number(value: f64) -> String {
    let text = if value != 0.0 && value.abs() < 0.01 { format!("{value:.4}") } else { format!("{value:.2}") };
    if text.trim_start_matches('-').chars().all(|c| matches!(c, '0' | '.')) { "0.00".into() } else { text }
}

/// `standardised mean difference 0.67 (0.35 to 0.98)`.
pub(super) fn estimate(measure: EffectMeasure, of: &Estimate) -> String {
    format!("{} {} ({} to {})", measure.word(), number(of.value), number(of.interval.low), number(of.interval.high))
}

/// An effect in the very digits of the source.
pub(super) fn printed(of: &Printed) -> String {
    let interval = of.ends.as_ref().map_or_else(String::new, |[low, high]| format!(" ({} to {})", low.value, high.value));
    let p = of.p.as_ref().map_or_else(String::new, |p| format!(", p {}", p.written.value));
    format!("{} {}{interval}{p}", of.measure.value.word(), of.written.value)
}

/// What a result says in numbers, where it prints any.
pub(super) fn result(of: &StudyResult) -> Option<String> {
    match &of.data {
        crate::model::docs::Data::Estimate(p) => Some(printed(p)),
        _ => of.printed.as_ref().map(printed),
    }
}

/// Name of an outcome.
pub(super) fn outcome(catalog: &Catalog, outcome: Idx<Outcome>) -> &str {
    &catalog.outcomes[outcome].name.value
}

/// A thing with its article.
pub(super) fn one(word: &str) -> String {
    format!("{} {word}", if word.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" })
}

/// A p value; one too small for its digits as a bound.
pub(super) fn p(value: f64) -> String {
    if value < 0.0001 { "less than 0.0001".into() } else { number(value) }
}

/// A list with `and` before the last.
pub(super) fn list(items: &[&str]) -> String {
    match items {
        [] => String::new(),
        [one] => (*one).into(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

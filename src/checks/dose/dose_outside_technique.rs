//! A dose parameter outside the range that its technique allows.

use super::item::items;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::{Dose, DoseValue, Technique};

/// The check.
pub static CHECK: Check = Check {
    name: "dose-outside-technique",
    summary: "a dose is outside the range that its technique allows",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("dose_outside_technique.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    items(case).iter().for_each(|item| compare(item.technique, item.dose, sink));
}

fn compare(technique: &Technique, dose: &Dose, sink: &mut Sink) {
    for entry in &dose.entries {
        let Some(parameter) = technique.parameter(&entry.name.value) else { continue };
        let name = &entry.name.value;
        match (&entry.value, &parameter.allowed) {
            (DoseValue::Amount(given), Some(allowed))
                if given.dim() == allowed.value.dim() && !given.is_open() && !given.base().within(allowed.value.base()) =>
            {
                let message = format!("`{name}` is {} and {} allows {}", given.shown(), technique.name.value, allowed.value.shown());
                sink.report(entry.span, "outside the range", message)
                    .also(allowed.span, "the range of the technique")
                    .help(format!("stay within {}, or change the technique with a reason", allowed.value.shown()));
            }
            (DoseValue::Word(word), None) if !parameter.words.is_empty() && !parameter.words.iter().any(|w| w.value == *word) => {
                let words = parameter.words.iter().map(|w| &*w.value).collect::<Vec<_>>().join(", ");
                let message = format!("`{name}` is `{word}`, which {} does not list", technique.name.value);
                sink.report(entry.span, "not on the list", message)
                    .also(parameter.name.span, format!("allowed: {words}"))
                    .help(format!("write one of: {words}"));
            }
            _ => {}
        }
    }
}

//! A quantity that cannot be read.
//!
//! The loader reports the same name where a value starts like a quantity. A dose parameter may also
//! be a word; whether it may be one here is settled by the technique, which is known only here.

use super::placeholder_left::placeholder;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::{Dose, DoseValue, Technique};

/// The check.
pub static CHECK: Check = Check {
    name: "quantity-unreadable",
    summary: "a quantity cannot be read",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("quantity_unreadable.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for protocol in case.catalog.protocols.rows() {
        let steps = protocol.steps.iter().map(|s| (s.technique.to, &s.dose));
        let home = protocol.home.iter().map(|h| (h.technique.to, &h.dose));
        for (technique, dose) in steps.chain(home) {
            if let Some(technique) = technique {
                compare(&case.catalog.techniques[technique], dose, sink);
            }
        }
    }
}

fn compare(technique: &Technique, dose: &Dose, sink: &mut Sink) {
    for entry in &dose.entries {
        let Some(parameter) = technique.parameter(&entry.name.value) else { continue };
        let (DoseValue::Word(word), Some(allowed), true) = (&entry.value, &parameter.allowed, parameter.words.is_empty()) else { continue };
        let plain = |c: char| c.is_alphanumeric() || c.is_ascii_punctuation() || c == ' ';
        if placeholder(word, false).is_some() || !word.chars().all(plain) {
            continue;
        }
        let message = format!("`{word}` cannot be read as a quantity, and `{}` of {} needs one", entry.name.value, technique.name.value);
        sink.report(entry.span, "a number should stand here", message)
            .also(allowed.span, "what the technique allows")
            .help(format!("write a number and its unit within {}", allowed.value.shown()));
    }
}

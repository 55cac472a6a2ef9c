//! A coolant whose dangers nobody has written down.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::vocabulary::ThermalSource;

/// The check.
pub static CHECK: Check = Check {
    name: "coolant-safety-missing",
    summary: "a cold stream without a word on fire, airing, or the shielding of eyes and airway",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("coolant_safety_missing.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for technique in case.catalog.techniques.rows() {
        for apparatus in technique.thermal.iter().filter(|a| a.source.value == ThermalSource::ColdStream) {
            let missing: Vec<&str> = apparatus.safety.parts().into_iter().filter(|(_, _, t)| t.is_none()).map(|(key, ..)| key).collect();
            if missing.is_empty() {
                continue;
            }
            let list = missing.iter().map(|k| format!("`{k}`")).collect::<Vec<_>>().join(", ");
            let message = format!("{} uses a cold stream and its `safety` says nothing under {list}", technique.name.value);
            sink.report(apparatus.source.span, "what about fire, vapour and eyes?", message)
                .note("A splash freezes the eye, many coolants burn, and their vapour dulls the mind: the data sheet says what holds.")
                .help(format!("add {list} under `safety:` of this entry, from the label and the data sheet of the coolant"));
        }
    }
}

//! Heat of which nobody knows the source or its temperature.

use super::{Once, unknown_at, warmed};
use crate::checks::dose::item::Item;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::thermal::apparatus::{SOURCE, Way, temperature};
use crate::finding::Level;
use crate::model::docs::DoseValue;

/// The check.
pub static CHECK: Check = Check {
    name: "heat-source-temperature-missing",
    summary: "a heat step does not say what brings the heat, or how hot it is",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("heat_source_temperature_missing.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let mut once = Once::default();
    for step in warmed(case).iter().filter(|w| w.way == Way::Heat) {
        let at = unknown_at(&step.item);
        if step.apparatus.is_none() && once.first(at) {
            let message = format!("{} does not say what brings the heat of {}", step.item.technique.name.value, step.item.name);
            sink.report(at, "what is the source?", message)
                .also(step.item.at, "the heat")
                .help("add `thermal:` with `source` to the technique; write `held heat` if nobody knows the source");
        }
        cool(&step.item, sink);
    }
}

/// Reports a dose without a temperature.
fn cool(item: &Item<'_>, sink: &mut Sink) {
    let unread = item.dose.entry(SOURCE).is_some_and(|e| matches!(e.value, DoseValue::Unreadable));
    if unread || temperature(item.dose).is_some() {
        return;
    }
    let written = item.dose.entry(SOURCE).is_some();
    let label = if written { "not a temperature" } else { "how hot is the source?" };
    let message = format!("{} gives heat and not the temperature of its source", item.name);
    let finding = sink.report(item.entry_at(SOURCE), label, message);
    if let Some(parameter) = item.technique.parameter(SOURCE) {
        finding.also(parameter.name.span, "the parameter of the technique");
    }
    finding
        .note("Without a temperature no safe time can be reckoned. A reheated grain bag can be 12 °C hotter than one heated as instructed.")
        .help(format!("add `{SOURCE}:` in degC: the hottest that a thermometer shows when the pack is laid on"));
}

//! A dose without a parameter that its technique requires.

use super::item::{Item, items};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::thermal::apparatus::needs;
use crate::finding::Level;
use crate::model::docs::Parameter;

/// The check.
pub static CHECK: Check = Check {
    name: "dose-parameter-missing",
    summary: "a dose lacks a parameter that its technique requires",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("dose_parameter_missing.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for item in items(case) {
        // What heat and cold cannot do without is asked for by checks of their own.
        let asked = needs(item.technique, item.dose);
        let absent = |p: &&Parameter| p.required && item.dose.entry(&p.name.value).is_none() && !asked.contains(&&*p.name.value);
        let missing: Vec<&Parameter> = item.technique.parameters.iter().filter(absent).collect();
        if !missing.is_empty() {
            report(&item, &missing, sink);
        }
    }
}

fn report(item: &Item<'_>, missing: &[&Parameter], sink: &mut Sink) {
    let names: Vec<String> = missing.iter().map(|p| format!("`{}`", p.name.value)).collect();
    let label = if item.dose.span.is_some() { "this dose is not whole" } else { "no dose is given" };
    let message = format!("{} gives no {}, and {} requires it", item.name, names.join(" and no "), item.technique.name.value);
    let finding = sink.report(item.dose_at(), label, message);
    for parameter in missing {
        finding.also(parameter.name.span, "required here");
    }
    finding.help(format!("add {} to the dose", missing.iter().map(|p| wanted(p)).collect::<Vec<_>>().join(" and ")));
}

/// What to type, with the values that are allowed.
fn wanted(parameter: &Parameter) -> String {
    let name = &parameter.name.value;
    match &parameter.allowed {
        Some(allowed) => format!("`{name}` within {}", allowed.value.shown()),
        None if parameter.words.is_empty() => format!("`{name}`"),
        None => format!("`{name}` as one of: {}", parameter.words.iter().map(|w| &*w.value).collect::<Vec<_>>().join(", ")),
    }
}

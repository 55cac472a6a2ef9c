//! A quantity that measures something else than its field.
//!
//! The loader reports the same name where the field itself settles the dimension. For a dose
//! parameter the technique settles it, which is known only here.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::Catalog;
use crate::model::docs::{Dose, DoseEntry, DoseValue, Step, Technique};
use crate::model::quantity::Quantity;
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "quantity-dimension",
    summary: "the unit of a quantity does not fit its field",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("quantity_dimension.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for protocol in case.catalog.protocols.rows() {
        let steps = protocol.steps.iter().map(|s| (s.technique.to, &s.dose));
        let home = protocol.home.iter().map(|h| (h.technique.to, &h.dose));
        protocol.steps.iter().for_each(|s| goal(case.catalog, s, sink));
        for (technique, dose) in steps.chain(home) {
            if let Some(technique) = technique {
                compare(case.catalog, &case.catalog.techniques[technique], dose, sink);
            }
        }
    }
}

/// The goal of a re-test is in the unit of its measure.
fn goal(catalog: &Catalog, step: &Step, sink: &mut Sink) {
    let measure = step.measure.as_ref().and_then(|m| m.to).map(|m| &catalog.measures[m]);
    let (Some(change), Some(bounds)) = (step.goal.as_ref().and_then(|g| g.change.as_ref()), measure.and_then(|m| m.bounds.as_ref())) else {
        return;
    };
    let (is, wanted) = (change.value.dim(), bounds.value.dim());
    if is == wanted {
        return;
    }
    let message =
        format!("the goal of step {} should be {}, and {} is {}", step.number.value, wanted.word(), change.value.shown(), is.word());
    sink.report(change.span, format!("{} here", is.word()), message)
        .also(bounds.span, format!("{} in the measure", wanted.word()))
        .help(format!("write {}, for instance `{}`", wanted.word(), bounds.value.unit.symbol));
}

fn compare(catalog: &Catalog, technique: &Technique, dose: &Dose, sink: &mut Sink) {
    for entry in &dose.entries {
        let name = &entry.name.value;
        let (DoseValue::Amount(given), Some(allowed)) = (&entry.value, technique.parameter(name).and_then(|p| p.allowed.as_ref())) else {
            continue;
        };
        let (is, wanted) = (given.dim(), allowed.value.dim());
        // An open end has no unit of its own; it is judged as an open end.
        if is == wanted || given.is_open() {
            continue;
        }
        let message = format!("`{name}` of {} should be {}, and {} is {}", technique.name.value, wanted.word(), given.shown(), is.word());
        sink.report(unit_of(catalog, entry, given), format!("{} here", is.word()), message)
            .also(allowed.span, format!("{} in the technique", wanted.word()))
            .help(format!("write {}, for instance `{}`", wanted.word(), allowed.value.unit.symbol));
    }
}

/// Where the unit stands; the whole value if its spelling differs from the table.
fn unit_of(catalog: &Catalog, entry: &DoseEntry, given: &Quantity) -> Span {
    let written = catalog.wordings.iter().find(|w| w.text.span == entry.span);
    written.and_then(|w| w.text.value.rfind(given.unit.symbol).map(|i| w.span_of(i..i + given.unit.symbol.len()))).unwrap_or(entry.span)
}

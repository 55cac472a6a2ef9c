//! A change that matters to people and cannot be told from error in one of them.

use super::shown;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::measurement::against;
use crate::finding::Level;
use crate::model::Catalog;
use crate::model::docs::{Meaningful, Measure};

/// The check.
pub static CHECK: Check = Check {
    name: "meaningful-below-error",
    summary: "a meaningful change is smaller than the error, and the measure does not say what follows",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("meaningful_below_error.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for measure in case.catalog.measures.rows().iter().filter(|m| m.in_one_person.is_none()) {
        measure.meaningful.iter().for_each(|c| judge(case.catalog, measure, c, sink));
    }
}

fn judge(catalog: &Catalog, measure: &Measure, c: &Meaningful, sink: &mut Sink) {
    let (Some(change), Some((y, size))) = (&c.change, against(catalog, measure, c)) else { return };
    if !y.threshold.covers(size) {
        return;
    }
    let error = shown(&change.value, y.threshold.change);
    let message = format!("`{}`: a change of {} matters, and the error is {error}", measure.name.value, change.value.shown());
    let place = y.error.mdc.as_ref().or(y.error.sem.as_ref()).map_or(y.error.population.span, |a| a.span);
    let whose = if y.same_people { "in the same people".to_string() } else { format!("in {}", y.error.population.value) };
    sink.report(change.span, "cannot be told from error in one person", message)
        .also(place, format!("{error} {whose}"))
        .note("A meaningful change is found in groups; the error is that of one person.")
        .help("add `in-one-person:` with what follows, for instance: judge over several visits, or in a group");
}

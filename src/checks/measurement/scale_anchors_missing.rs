//! A scale whose ends nobody explains.

use crate::checks::text::words;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::Kind;
use crate::model::docs::{DoseValue, Measure};
use crate::model::quantity::number;
use crate::model::unit::Dim;

/// The check.
pub static CHECK: Check = Check {
    name: "scale-anchors-missing",
    summary: "nobody says what 0 and the top of a scale mean",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("scale_anchors_missing.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for measure in case.catalog.measures.rows() {
        anchors(measure, sink);
    }
    let explained = case.catalog.measures.rows().iter().any(|m| m.bounds.as_ref().is_some_and(|b| b.value.dim() == Dim::Pain));
    if !explained && !case.catalog.unread.contains(&Kind::Measure) {
        caps(case, sink);
    }
}

/// On a scale the numbers have no meaning but the one that its ends give them.
fn anchors(measure: &Measure, sink: &mut Sink) {
    let Some(bounds) = measure.bounds.as_ref().filter(|b| matches!(b.value.dim(), Dim::Pain | Dim::Percent)) else { return };
    let (least, most) = (number(bounds.value.written.lo), number(bounds.value.written.hi));
    let said = measure.anchors.as_ref().map(|a| words(&a.value)).unwrap_or_default();
    let missing: Vec<&str> = [&*least, &*most].into_iter().filter(|e| !said.iter().any(|w| w.text == *e)).collect();
    if missing.is_empty() {
        return;
    }
    let what = missing.join(" and ");
    let at = measure.anchors.as_ref().map_or(bounds.span, |a| a.span);
    sink.report(at, format!("what is {what}?"), format!("`{}` does not say what {what} means", measure.name.value))
        .note("A number on a scale means what its ends mean; two people with other ends in mind give other numbers.")
        .help(format!("add `anchors:` that names both ends, as `{least} none, {most} the most imaginable`"));
}

/// Pain caps of a pack without any measure of pain.
fn caps(case: &Case<'_>, sink: &mut Sink) {
    let steps = case.catalog.protocols.rows().iter().flat_map(|p| &p.steps);
    let is_pain = |v: &DoseValue| matches!(v, DoseValue::Amount(q) if q.dim() == Dim::Pain);
    let Some(entry) = steps.flat_map(|s| &s.dose.entries).find(|e| is_pain(&e.value)) else { return };
    sink.report(entry.span, "of what?", "pain is capped on a 0 to 10 scale, and no measure says what 0 and 10 mean")
        .note("The cap is the person's only brake; it works if both ends are explained before the first step.")
        .help("add a measure with `bounds: 0-10/10` and `anchors:` to measures/");
}

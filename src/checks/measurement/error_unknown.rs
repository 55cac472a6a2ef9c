//! A measure whose error nobody knows.

use super::retests;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::measurement::ErrorFacts;
use crate::finding::Level;
use crate::model::docs::Measure;
use crate::model::{Idx, Kind};
use crate::plan::site::doc;

/// The check.
pub static CHECK: Check = Check {
    name: "error-unknown",
    summary: "a measure has neither standard error nor detectable change",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("error_unknown.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, measure) in case.catalog.measures.iter() {
        if measure.errors.iter().any(known) {
            continue;
        }
        if !retested(case, idx, measure, sink) && !measure.errors.iter().any(|e| e.unknown.is_some()) {
            let name = &measure.name.value;
            let at = measure
                .errors
                .first()
                .map_or(case.catalog.head(doc(Kind::Measure, idx)).map_or(measure.name.span, |h| h.at), |e| e.population.span);
            sink.report(at, "no `sem`, no `mdc`", format!("the error of `{name}` is not known, and the measure does not say why"))
                .note("Without it no change in one person can be told from error.")
                .help("add `sem` or `mdc` from a source, or `unknown:` with the reason");
        }
    }
}

/// True if a change can be held against this entry.
fn known(e: &crate::model::docs::MeasureError) -> bool {
    ErrorFacts::of(e).threshold.is_some()
}

fn retested(case: &Case<'_>, idx: Idx<Measure>, measure: &Measure, sink: &mut Sink) -> bool {
    let mut any = false;
    for protocol in case.catalog.protocols.rows() {
        let used = retests(protocol).find_map(|(_, s)| s.measure.as_ref().filter(|m| m.to == Some(idx)).map(|m| (s, m)));
        let Some((step, reference)) = used else { continue };
        any = true;
        let message = format!("step {} re-tests with `{}`, whose error is not known", step.number.value, measure.name.value);
        let finding = sink.report(reference.span(), "no re-test rule is possible", message);
        if let Some(e) = measure.errors.first() {
            finding.also(e.population.span, "neither `sem` nor `mdc` here");
        }
        finding
            .note("Without it no change in one person can be told from error.")
            .help("add `sem` or `mdc` from a source to the measure, or re-test with a measure whose error is known");
    }
    any
}

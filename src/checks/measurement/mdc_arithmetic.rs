//! Printed numbers of measurement error that do not follow from each other.

use super::shown;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::measurement::Level as Sure;
use crate::compute::measurement::arithmetic::{Misfit, misfits};
use crate::finding::Level;
use crate::model::docs::{Amount, Measure, MeasureError};
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "mdc-arithmetic",
    summary: "standard error and detectable change of a measure do not fit each other",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("mdc_arithmetic.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for measure in case.catalog.measures.rows() {
        for error in &measure.errors {
            misfits(error).iter().for_each(|m| report(measure, error, m, sink));
        }
    }
}

fn report(measure: &Measure, e: &MeasureError, misfit: &Misfit, sink: &mut Sink) {
    let name = &measure.name.value;
    match (misfit, &e.sem, &e.mdc) {
        (Misfit::Error { computed }, Some(sem), _) => {
            let follows = shown(&sem.value, *computed);
            let message = format!("`{name}` gives a standard error of {}, and {follows} follows from spread and ICC", sem.value.shown());
            from(sink.report(sem.span, format!("{follows} follows"), message), e, false)
                .note("SEM = SD × √(1 − ICC), within the rounding of the printed digits (Weir 2005).")
                .help("look up all three numbers in the source; they must belong to the same people, raters and site");
        }
        (Misfit::OtherLevel { stated, computed }, _, Some(mdc)) => {
            let (fits, said) = (stated.other().percent(), stated.percent());
            let follows = shown(&mdc.value, *computed);
            let message = format!("`{name}`: a change of {} is given at {fits}\u{a0}% and read as {said}\u{a0}%", mdc.value.shown());
            let at = e.level.as_ref().map_or(mdc.span, |l| l.span);
            from(sink.report(at, format!("the numbers fit {fits}\u{a0}%"), message), e, true)
                .also(mdc.span, format!("{said}\u{a0}% would be {follows}"))
                .note("MDC = z × √2 × SEM, z 1.645 for 90 % and 1.96 for 95 % (Weir 2005).")
                .help(format!("write `level: {fits}`, or the change that the source prints for {said}\u{a0}%"));
        }
        (Misfit::Neither { at90, at95 }, _, Some(mdc)) => {
            let (low, high) = (shown(&mdc.value, *at90), shown(&mdc.value, *at95));
            let message = format!(
                "`{name}` gives a detectable change of {}, and {} follows from the standard error",
                mdc.value.shown(),
                expected(e, &low, &high)
            );
            from(sink.report(mdc.span, "does not follow", message), e, true)
                .note(format!(
                    "MDC = z × √2 × SEM, within the rounding of the printed digits (Weir 2005): {low} at 90\u{a0}%, {high} at 95\u{a0}%."
                ))
                .help("look up both numbers in the source; a standard error typed as detectable change is nearly three times too small");
        }
        _ => {}
    }
}

fn expected(e: &MeasureError, low: &str, high: &str) -> String {
    match e.level.as_ref().and_then(|l| Sure::of(l.value)) {
        Some(Sure::P90) => low.into(),
        Some(Sure::P95) => high.into(),
        None => format!("{low} (90\u{a0}%) or {high} (95\u{a0}%)"),
    }
}

/// Labels the numbers from which the other was computed.
fn from<'f>(finding: &'f mut crate::finding::Finding, e: &MeasureError, sem: bool) -> &'f mut crate::finding::Finding {
    let amount = |a: &Option<Amount>| a.as_ref().map(|a| a.span);
    let inputs: Vec<(Option<Span>, &str)> = if sem && e.sem.is_some() {
        vec![(amount(&e.sem), "standard error")]
    } else {
        vec![(amount(&e.sd), "spread between people"), (e.icc.as_ref().map(|i| i.span), "ICC")]
    };
    for (at, what) in inputs {
        if let Some(at) = at {
            finding.also(at, what);
        }
    }
    finding
}

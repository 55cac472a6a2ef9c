//! A re-test that has nothing to compare with.

use super::{first_treatment, named};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::{Protocol, Step};

/// The check.
pub static CHECK: Check = Check {
    name: "baseline-missing",
    summary: "a re-test has no baseline of the same measure before treatment",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("baseline_missing.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        let first = first_treatment(case.catalog, case.facts.of(idx));
        for (row, step) in protocol.steps.iter().enumerate().filter(|(_, s)| is(s, "re-test")) {
            let Some(measure) = &step.measure else {
                sink.report(step.action.span, "of which measure?", format!("{} re-tests and names no measure", named(step)))
                    .help("add `measure:` with the measure of the baseline");
                continue;
            };
            let Some(wanted) = measure.to else { continue };
            let same = |s: &Step| s.measure.as_ref().is_some_and(|m| m.to == Some(wanted));
            let end = first.unwrap_or(row).min(row);
            if !protocol.steps.iter().take(end).any(|s| same(s) && is(s, "baseline")) {
                report(protocol, step, &case.catalog.measures[wanted].name.value, first, &same, sink);
            }
        }
    }
}

fn is(step: &Step, when: &str) -> bool {
    step.when.as_ref().is_some_and(|w| &*w.value == when)
}

fn report(protocol: &Protocol, step: &Step, name: &str, first: Option<usize>, same: &dyn Fn(&Step) -> bool, sink: &mut Sink) {
    let load = first.and_then(|f| protocol.steps.get(f));
    let message = format!("{} re-tests `{name}` and no baseline of it was taken before treatment", named(step));
    let at = step.measure.as_ref().map_or(step.action.span, crate::model::ids::Ref::span);
    let finding = sink.report(at, "nothing to compare with", message);
    if let Some(load) = load {
        finding.also(load.action.span, "treatment begins here");
    }
    let other = protocol.steps.iter().find(|s| same(s) && !is(s, "re-test"));
    match (other, load) {
        (Some(late), Some(load)) if late.number.value > load.number.value => {
            finding.also(late.action.span, "measured only now").help(format!("move {} before {}", named(late), named(load)))
        }
        (Some(unmarked), _) if !is(unmarked, "baseline") => {
            finding.also(unmarked.action.span, "measured, not marked").help(format!("add `when: baseline` to {}", named(unmarked)))
        }
        (_, Some(load)) => {
            let id = step.measure.as_ref().map_or("", |m| &*m.written.value);
            finding.help(format!("add a step with `measure: {id}` and `when: baseline` before {}", named(load)))
        }
        _ => finding.help(format!("add a step with `when: baseline` before {}", named(step))),
    };
}

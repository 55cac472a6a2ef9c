//! A measure that loads the body, taken in a step whose technique does not.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::Idx;
use crate::model::docs::{Measure, Step, Technique};

/// The check.
pub static CHECK: Check = Check {
    name: "measure-load-not-carried",
    summary: "a measure loads the body and the technique of its step does not, so no condition reaches it",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("measure_load_not_carried.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        for (step, facts) in protocol.steps.iter().zip(&case.facts.of(idx).steps) {
            let measure = step.measure.as_ref().and_then(|m| m.to);
            if let Some((measure, technique)) = measure.zip(facts.technique) {
                one(case, step, measure, technique, sink);
            }
        }
    }
}

fn one(case: &Case<'_>, step: &Step, measure: Idx<Measure>, technique: Idx<Technique>, sink: &mut Sink) {
    let (measure, technique) = (&case.catalog.measures[measure], &case.catalog.techniques[technique]);
    let Some(at) = step.measure.as_ref().map(crate::model::Ref::span) else { return };
    let (number, took) = (step.number.value, &measure.name.value);
    for load in measure.loads.iter().filter(|l| !technique.has(l.value)) {
        let word = load.value.word();
        let message = format!("step {number} takes {took}, which gives {word}, and {} does not", technique.name.value);
        sink.report(at, format!("gives {word}"), message)
            .also(load.span, "the measure says so")
            .also(technique.name.span, "the technique of the step does not")
            .note("Conditions reach a step through what its technique loads: whoever has torn or numb skin there would be measured there all the same.")
            .help(format!("use a technique with `stressor: {word}` under `exposes`, with its dose"));
    }
}

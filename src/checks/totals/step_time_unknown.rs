//! A step whose time cannot be derived.

use crate::checks::dose::item::{Item, items};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::Idx;
use crate::model::docs::{DoseValue, Technique};
use crate::source::{Span, Text};

/// The check.
pub static CHECK: Check = Check {
    name: "step-time-unknown",
    summary: "a step has no duration and none can be derived",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("step_time_unknown.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (own, technique) in case.catalog.techniques.iter().filter(|(_, t)| t.takes.is_empty()) {
        untimed(technique, &uses(case, own), sink);
    }
    for item in items(case) {
        if item.home.is_none() && item.facts.duration.is_none() && !item.technique.takes.is_empty() {
            judge(&item, sink);
        }
    }
}

fn uses(case: &Case<'_>, technique: Idx<Technique>) -> Vec<Span> {
    let steps = case.catalog.protocols.rows().iter().flat_map(|p| &p.steps);
    steps.filter(|s| s.technique.to == Some(technique)).map(|s| s.action.span).collect()
}

/// A technique without `takes` is one mistake, however many steps use it.
fn untimed(technique: &Technique, uses: &[Span], sink: &mut Sink) {
    let Some(first) = uses.first() else { return };
    let message = format!("{} does not say how long a step of it takes", technique.name.value);
    sink.report(technique.name.span, "no `takes` here", message)
        .also(*first, format!("the time of this step is unknown{}", if uses.len() > 1 { ", and of others as well" } else { "" }))
        .help("add `takes` with the parameters that multiply to a time, for instance `takes: [{times: [hold, reps]}]`");
}

fn judge(item: &Item<'_>, sink: &mut Sink) {
    let names: Vec<&Text> = item.technique.takes.iter().flat_map(|t| t.times.iter().chain(&t.over)).collect();
    if names.iter().any(|n| told_elsewhere(item, &n.value)) {
        return;
    }
    let lacking: Vec<&&Text> = names.iter().filter(|n| item.dose.amount(&n.value).is_none()).collect();
    let message = format!("the time of {} cannot be derived", item.name);
    if let Some(first) = lacking.first() {
        let list = lacking.iter().map(|n| format!("`{}`", n.value)).collect::<Vec<_>>().join(" and ");
        sink.report(item.dose_at(), format!("no amount for {list}"), message)
            .also(first.span, "the technique derives the time from it")
            .help(format!("add {list} to the dose"));
    } else {
        sink.report(item.dose_at(), "no time follows from this", message)
            .also(names.first().map_or(item.technique.name.span, |n| n.span), "what the technique multiplies")
            .help("correct `takes` in the technique, so that each of its products is a time");
    }
}

/// A required parameter that is missing, or one that cannot be read, is a finding of its own.
fn told_elsewhere(item: &Item<'_>, name: &str) -> bool {
    let parameter = item.technique.parameter(name);
    match item.dose.entry(name).map(|e| &e.value) {
        None => parameter.is_some_and(|p| p.required),
        Some(DoseValue::Unreadable) => true,
        Some(DoseValue::Word(_)) => parameter.is_some_and(|p| p.allowed.is_some()),
        Some(DoseValue::Amount(q)) => parameter.and_then(|p| p.allowed.as_ref()).is_some_and(|a| a.value.dim() != q.dim()),
    }
}

//! A total typed into a protocol that the steps do not give.

use crate::checks::{Case, Check, Run, Sink};
use crate::compute::amount::shown;
use crate::compute::steps::StepFacts;
use crate::finding::Level;
use crate::model::docs::{Amount, Protocol};
use crate::model::interval::Interval;
use crate::model::vocabulary::Stressor;
use crate::source::Spanned;

/// The check.
pub static CHECK: Check = Check {
    name: "stated-total-differs",
    summary: "a typed total is not what the steps add up to",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("stated_total_differs.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (own, protocol) in case.catalog.protocols.iter() {
        for (stressor, stated) in &protocol.totals {
            judge(protocol, &case.facts.of(own).steps, stressor, stated, sink);
        }
    }
}

fn judge(protocol: &Protocol, steps: &[StepFacts], stressor: &Spanned<Stressor>, stated: &Amount, sink: &mut Sink) {
    let dim = stated.value.dim();
    let adds = |s: &StepFacts| s.load(stressor.value).and_then(|l| l.total).filter(|(own, _)| *own == dim).map(|(_, amount)| amount);
    let parts: Vec<(usize, Interval)> = steps.iter().enumerate().filter_map(|(i, s)| adds(s).map(|a| (i, a))).collect();
    let total: Interval = parts.iter().map(|(_, a)| *a).sum();
    let (word, typed) = (stressor.value.word(), stated.value.base());
    if total.hi.is_infinite() || (typed.within(total) && total.within(typed)) {
        return;
    }
    let claim = format!("the stated total for {word} is {}", stated.value.shown());
    if parts.is_empty() {
        sink.report(stated.span, "nothing adds up to this", format!("{claim}, and no step adds any"))
            .help("delete the line, or state it in the unit in which the steps add up");
        return;
    }
    let computed = shown(dim, total);
    let finding = sink.report(stated.span, format!("the steps give {computed}"), format!("{claim}, and the steps add up to {computed}"));
    for (i, amount) in parts {
        if let Some(step) = protocol.steps.get(i) {
            finding.also(step.action.span, format!("step {} adds {}", step.number.value, shown(dim, amount)));
        }
    }
    finding.help(format!("write {computed}, or delete the line: pages show the computed total"));
}

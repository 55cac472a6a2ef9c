//! Stop rules and branches that do not say what happens next.

use super::named;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::{Branch, Protocol, Step, StopRule};

/// The check.
pub static CHECK: Check = Check {
    name: "stop-leads-nowhere",
    summary: "a stop rule or branch has no exit, or one that does not exist",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("stop_leads_nowhere.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for technique in case.catalog.techniques.rows() {
        technique.stop.iter().for_each(|rule| exit(rule, sink));
    }
    for protocol in case.catalog.protocols.rows() {
        let steps = protocol.steps.iter().flat_map(|s| &s.stop);
        for rule in steps.chain(protocol.home.iter().flat_map(|h| &h.stop)) {
            exit(rule, sink);
            if let Some(then) = &rule.then {
                exists(protocol, then, sink);
            }
        }
        for step in &protocol.steps {
            if let Some(branch) = &step.then {
                follow(protocol, step, branch, sink);
            }
        }
    }
}

fn exit(rule: &StopRule, sink: &mut Sink) {
    if rule.then.as_ref().is_none_or(|t| t.value.trim().is_empty()) {
        let message = format!("the stop rule for \"{}\" does not say what happens next", rule.sign.value);
        sink.report(rule.sign.span, "and then?", message).help("add `then: end step`, `then: end session` or `then: refer`");
    }
}

fn follow(protocol: &Protocol, step: &Step, branch: &Branch, sink: &mut Sink) {
    let Some(go) = branch.go.as_ref().filter(|g| !g.value.trim().is_empty()) else {
        sink.report(branch.span, "where to?", format!("the branch of {} leads nowhere", named(step)))
            .help("add `go: next`, `go: step N`, `go: end` or `go: refer`");
        return;
    };
    exists(protocol, go, sink);
    let back = number_in(&go.value).is_some_and(|n| n <= step.number.value && named_step(protocol, n).is_some());
    if (back || &*go.value == "repeat") && branch.up_to.is_none() {
        let message = format!("the branch of {} leads back without an end", named(step));
        sink.report(go.span, "again and again", message).help("add `up-to:` with the most repeats, for instance `up-to: 2 reps`");
    }
}

fn exists(protocol: &Protocol, to: &crate::source::Text, sink: &mut Sink) {
    let Some(number) = number_in(&to.value) else { return };
    if named_step(protocol, number).is_none() {
        let most = protocol.steps.iter().map(|s| s.number.value).max().unwrap_or(0);
        sink.report(to.span, "no such step", format!("`{}` is not among the steps of {}", to.value, protocol.head.id.value))
            .help(format!("name a step from 1 to {most}, or write `end session`"));
    }
}

fn named_step(protocol: &Protocol, number: u32) -> Option<&Step> {
    protocol.steps.iter().find(|s| s.number.value == number)
}

/// The number in `step N` or `go to step N`.
fn number_in(text: &str) -> Option<u32> {
    let (_, after) = text.split_once("step ")?;
    after.split(|c: char| !c.is_ascii_digit()).next()?.parse().ok()
}

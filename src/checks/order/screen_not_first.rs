//! A protocol that loads the body before anybody has asked what stops or limits treatment.

use super::{first_load, named, unclear_before};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::Step;
use crate::model::vocabulary::Role;

/// The check.
pub static CHECK: Check = Check {
    name: "screen-not-first",
    summary: "the body is loaded before the screening step",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("screen_not_first.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        let Some(first) = first_load(case.facts.of(idx)) else { continue };
        let screens = |s: &Step| s.technique.to.is_some_and(|t| case.catalog.techniques[t].role == Role::Screening);
        let screening = protocol.steps.iter().position(screens);
        if unclear_before(protocol, first) || screening.is_some_and(|s| s < first) {
            continue;
        }
        let Some(load) = protocol.steps.get(first) else { continue };
        let message = format!("{} loads the body before the stop-signs were asked", named(load));
        let finding = sink.report(load.action.span, "the first load", message);
        match screening.and_then(|s| protocol.steps.get(s)) {
            Some(late) => {
                finding.also(late.action.span, "screening stands here").help(format!("move {} before {}", named(late), named(load)))
            }
            None => finding.help(format!("add a step with a technique of `role: screening` before {}", named(load))),
        };
    }
}

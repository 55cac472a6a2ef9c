//! A protocol that ends with the treatment itself.

use super::named;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::vocabulary::Role;

/// The check.
pub static CHECK: Check = Check {
    name: "closing-step-missing",
    summary: "nothing follows the last treatment step: no movement, skin check, re-test or advice",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("closing_step_missing.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        let roles = case.facts.of(idx).steps.iter().map(|s| s.technique.map(|t| case.catalog.techniques[t].role));
        let Some((step, Some(role))) = protocol.steps.iter().zip(roles).next_back() else { continue };
        if role == Role::Treatment {
            let message = format!("{} ends with {}, and nothing closes the visit", protocol.title.value, named(step));
            sink.report(step.action.span, "the last step", message)
                .help("add a closing step: active movement, a pause with a skin check, the re-test, or education about what to expect");
        }
    }
}

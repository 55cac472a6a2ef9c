//! A protocol that ends with the treatment itself.

use super::named;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::session::Visit;
use crate::finding::Level;
use crate::model::docs::Session;
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
    for (session, facts) in case.catalog.sessions.rows().iter().zip(&case.facts.sessions) {
        in_session(case, session, &facts.visit, sink);
    }
}

/// An appointment that ends with treatment, whatever protocol it is of. A single protocol is told as that.
fn in_session(case: &Case<'_>, session: &Session, visit: &Visit, sink: &mut Sink) {
    let Some(last) = visit.acts.last().map(|a| a.steps.lead).filter(|_| visit.parts.len() > 1) else { return };
    let Some(protocol) = visit.parts.get(last.part).map(|p| &case.catalog.protocols[*p]) else { return };
    let Some(step) = protocol.steps.get(last.step) else { return };
    if step.technique.to.is_some_and(|t| case.catalog.techniques[t].role == Role::Treatment) {
        let message =
            format!("{} ends with {} of {}, and nothing closes the visit", session.title.value, named(step), protocol.head.id.value);
        sink.report(session.title.span, "the whole appointment", message)
            .also(step.action.span, "the last step")
            .help("end the session with a protocol that has a closing step, or add one to that protocol");
    }
}

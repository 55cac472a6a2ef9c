//! End range or a hanging part without anything that carries it.

use super::named;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::vocabulary::Stressor;

/// The check.
pub static CHECK: Check = Check {
    name: "support-missing",
    summary: "a part is at the end of its range and nothing carries it",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("support_missing.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        let mut before = None;
        for (step, facts) in protocol.steps.iter().zip(&case.facts.of(idx).steps) {
            let enters = std::mem::replace(&mut before, facts.position) != facts.position;
            if step.support.is_some() {
                continue;
            }
            let position = facts.position.map(|p| &case.catalog.positions[p]);
            if let Some(joint) = step.joints.first().filter(|_| facts.load(Stressor::Stretch).is_some()) {
                let message = format!("{} stretches to the end of the range and nothing carries the part", named(step));
                sink.report(joint.at, "moved to the end of its range", message)
                    .help(format!("add `support:` to {}: who or what carries the part", named(step)));
            } else if let Some(position) = position.filter(|p| enters && p.end_range && p.supports.is_empty()) {
                let message =
                    format!("{} takes `{}`, which is at end range, and nothing carries the part", named(step), position.name.value);
                let at = step.position.as_ref().map_or(step.action.span, crate::model::ids::Ref::span);
                sink.report(at, "at end range", message).also(position.name.span, "`end-range: true` and no `supports`").help(format!(
                    "add `supports` to {}, or `support:` to {}",
                    position.head.id.value,
                    named(step)
                ));
            }
        }
    }
}

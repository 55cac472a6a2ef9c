//! Techniques that ask for a training which the pack does not have in scope.

use super::named;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::{Finding, Level};
use crate::model::docs::{Pack, Technique};

/// The check.
pub static CHECK: Check = Check {
    name: "scope-exceeded",
    summary: "a technique asks for training outside the scope of the pack",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("scope_exceeded.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for technique in case.catalog.techniques.rows() {
        let pack = case.pack(&technique.head);
        if outside(pack, technique) {
            let finding = sink.report(technique.training.span, "not in scope", message(pack, technique));
            explain(finding, pack, technique);
        }
    }
    // The technique of another pack may be in scope there and out of scope here.
    for protocol in case.catalog.protocols.rows() {
        let pack = case.pack(&protocol.head);
        for step in &protocol.steps {
            let Some(technique) = step.technique.to.map(|t| &case.catalog.techniques[t]) else { continue };
            if technique.head.pack != protocol.head.pack && outside(pack, technique) {
                let text = format!("{} is out of scope: {}", named(step), message(pack, technique));
                let finding = sink.report(step.technique.span(), "not in scope", text);
                finding.also(technique.training.span, "asks for it");
                explain(finding, pack, technique);
            }
        }
    }
}

fn outside(pack: &Pack, technique: &Technique) -> bool {
    !pack.training.is_empty() && !pack.training.iter().any(|t| t.value == technique.training.value)
}

fn message(pack: &Pack, technique: &Technique) -> String {
    let (name, training) = (&technique.name.value, &technique.training.value);
    format!("{name} asks for the training `{training}`, which {} does not have in scope", pack.head.id.value)
}

fn explain(finding: &mut Finding, pack: &Pack, technique: &Technique) {
    for level in pack.training.iter().take(1) {
        let list = pack.training.iter().map(|t| &*t.value).collect::<Vec<_>>().join(", ");
        finding.also(level.span, format!("in scope: {list}"));
    }
    finding.help(format!("leave the technique out, or, if staff hold it, add `{}` to `training` of the pack", technique.training.value));
}

//! Work inside the body, or with a technique that needs an authorisation which the pack does not hold.

use super::{names, tagged};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::steps::StepFacts;
use crate::finding::Level;
use crate::model::Ref;
use crate::model::docs::{Pack, Target, Technique};
use crate::model::region::Tag;
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "internal-technique-unauthorised",
    summary: "a step needs an authorisation that the pack does not hold",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("internal_technique_unauthorised.md"),
};

/// A step or home item.
struct Act<'a> {
    at: Span,
    technique: &'a Ref<Technique>,
    target: &'a Target,
    facts: &'a StepFacts,
}

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        let (facts, pack) = (case.facts.of(idx), case.pack(&protocol.head));
        let steps = protocol.steps.iter().zip(&facts.steps);
        let steps = steps.map(|(s, facts)| Act { at: s.action.span, technique: &s.technique, target: &s.target, facts });
        let home = protocol.home.iter().zip(&facts.home);
        let home = home.map(|(h, facts)| Act { at: h.action.span, technique: &h.technique, target: &h.target, facts });
        for act in steps.chain(home) {
            if let Some(technique) = act.facts.technique.map(|t| &case.catalog.techniques[t]) {
                judge(pack, technique, &act, sink);
            }
        }
    }
}

fn judge(pack: &Pack, technique: &Technique, act: &Act<'_>, sink: &mut Sink) {
    let name = &technique.name.value;
    match &technique.authorisation {
        Some(needed) if !pack.authorisations.iter().any(|a| a.value == needed.value) => {
            let message = format!("{name} needs the authorisation `{}`, which the pack {} does not hold", needed.value, pack.head.id.value);
            sink.report(act.technique.span(), "needs an authorisation", message)
                .also(needed.span, "needed")
                .help(format!("leave the step out, or, if it is held, add `{}` to `authorisations` of the pack", needed.value));
        }
        None => {
            let inside = tagged(&act.facts.places, Tag::Internal);
            if !inside.is_empty() {
                let message = format!("work inside the body ({}) with {name}, which names no authorisation", names(&inside));
                sink.report(act.target.span.unwrap_or(act.at), "inside the body", message)
                    .also(technique.name.span, "no `authorisation` in this technique")
                    .help("use a technique that names its `authorisation`, or leave the step out");
            }
        }
        Some(_) => {}
    }
}

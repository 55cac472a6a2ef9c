//! Resisted movements that are not actions of the muscle.

use super::{motions, typed};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::Muscle;
use crate::model::motion::Motion;
use crate::source::Spanned;

/// The check.
pub static CHECK: Check = Check {
    name: "resist-direction-wrong",
    summary: "the resisted movement is not an action of the muscle",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("resist_direction_wrong.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for muscle in case.catalog.muscles.rows() {
        if let Some(resists) = &muscle.palpation.resists {
            judge(muscle, "the palpation", resists, sink);
        }
    }
    for protocol in case.catalog.protocols.rows() {
        let Some(muscle) = protocol.muscle.to.map(|m| &case.catalog.muscles[m]) else { continue };
        for step in &protocol.steps {
            if let Some(resists) = &step.resists {
                judge(muscle, &format!("step {}", step.number.value), resists, sink);
            }
        }
    }
}

fn judge(muscle: &Muscle, whose: &str, resists: &Spanned<Motion>, sink: &mut Sink) {
    let Some(actions) = motions(muscle).filter(|a| !a.contains(&resists.value)) else { return };
    let opposite = Motion { positive: !resists.value.positive, ..resists.value };
    let (name, shown) = (&muscle.name.value, resists.value.shown());
    let label = if actions.contains(&opposite) { "the opposite of its action" } else { "not an action of the muscle" };
    let finding = sink.report(resists.span, label, format!("{whose} resists {shown}, which is not an action of {name}"));
    for action in muscle.actions.iter().take(4) {
        finding.also(action.span, "an action of the muscle");
    }
    let list = actions.iter().map(|m| format!("`{}`", typed(*m))).collect::<Vec<_>>().join(", ");
    finding.help(if actions.contains(&opposite) {
        format!("write `{}`", typed(opposite))
    } else {
        format!("write one of its actions: {list}")
    });
}

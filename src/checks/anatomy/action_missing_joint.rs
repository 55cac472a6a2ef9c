//! Joints that a muscle crosses and on which it has no action.

use super::motions;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::motion::COORDINATES;
use crate::model::nearest;

/// The check.
pub static CHECK: Check = Check {
    name: "action-missing-joint",
    summary: "a muscle crosses a joint and has no action there",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("action_missing_joint.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for muscle in case.catalog.muscles.rows() {
        let Some(motions) = motions(muscle) else { continue };
        for joint in &muscle.joints {
            // The neck has an upper and a lower part with movements of their own.
            let acts = |own: &str| own == &*joint.value || own.strip_suffix(&*joint.value).is_some_and(|part| part.ends_with(' '));
            if motions.iter().any(|m| acts(m.coordinate.joint)) {
                continue;
            }
            let message = format!("{} crosses the joint `{}` and has no action there", muscle.name.value, joint.value);
            let finding = sink.report(joint.span, "no action at this joint", message);
            if let Some(first) = muscle.actions.first() {
                finding.also(first.span, "the actions begin here");
            }
            if COORDINATES.iter().any(|c| acts(c.joint)) {
                finding.help(format!("add its action at `{}`, or take it off `joints`", joint.value));
            } else {
                let joints = || COORDINATES.iter().map(|c| c.joint);
                let list = joints().collect::<std::collections::BTreeSet<_>>().into_iter().collect::<Vec<_>>().join(", ");
                let near = nearest(&joint.value, joints()).map_or_else(|| format!("write one of: {list}"), |n| format!("write `{n}`"));
                finding.help(near);
            }
        }
    }
}

//! Stretches that move a joint the way the muscle itself moves it.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::{JointAngle, Muscle, Position, Step};
use crate::model::vocabulary::Stressor;

/// The check.
pub static CHECK: Check = Check {
    name: "stretch-adds-own-action",
    summary: "a stretch sets a joint in the direction of the muscle's own action",
    level: Level::Note,
    run: Run::Facts(run),
    page: include_str!("stretch_adds_own_action.md"),
};

/// Angles up to this many degrees count as neutral.
const NEUTRAL: f64 = 1.0;

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        for (step, facts) in protocol.steps.iter().zip(&case.facts.of(idx).steps) {
            // With moment arms the computed length speaks, not the sign.
            let by_words = facts.load(Stressor::Stretch).is_some() && facts.stretch.is_none();
            let Some(muscle) = facts.muscle.filter(|_| by_words) else { continue };
            let muscle = &case.catalog.muscles[muscle];
            let position = facts.position.map(|p| &case.catalog.positions[p]);
            for own in &step.joints {
                judge(muscle, step, own, None, sink);
            }
            let carried = position.iter().flat_map(|p| p.joints.iter().map(|j| (*p, j)));
            for (position, joint) in carried.filter(|(_, j)| !step.joints.iter().any(|own| own.coordinate == j.coordinate)) {
                judge(muscle, step, joint, Some(position), sink);
            }
        }
    }
}

fn judge(muscle: &Muscle, step: &Step, joint: &JointAngle, position: Option<&Position>, sink: &mut Sink) {
    let angle = joint.angle.value.base();
    let along = |positive: bool| if positive { angle.lo > NEUTRAL } else { angle.hi < -NEUTRAL };
    let action = muscle.actions.iter().find_map(|a| {
        let motion = a.motion.as_ref()?;
        (motion.coordinate == joint.coordinate && along(motion.positive)).then_some((a, motion.value))
    });
    let Some((action, motion)) = action else { return };
    let (number, name, shown) = (step.number.value, &muscle.name.value, motion.shown());
    let message = format!(
        "step {number} stretches {name} with {} of {shown}, an action of the muscle itself",
        joint.angle.value.shown().replace('-', "")
    );
    let at = if position.is_some() { step.action.span } else { joint.at };
    let finding = sink.report(at, format!("{shown} shortens it"), message);
    if position.is_some() {
        finding.also(joint.at, "set by the position");
    }
    finding.also(action.span, "its own action");
    let sign = if motion.positive { "a negative" } else { "a positive" };
    finding.help(format!("set `{}` of step {number} to {sign} angle or to 0 deg, if the muscle is to be lengthened", joint.coordinate.id));
}

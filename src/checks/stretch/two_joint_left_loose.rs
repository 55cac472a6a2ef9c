//! Stretches of a muscle over several joints that leave one of them loose.

use super::{Stretched, stretched, typed};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::amount::millimetres;
use crate::compute::mechanics::facts::PartStretch;
use crate::compute::mechanics::{Loose, Verdict};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "two-joint-left-loose",
    summary: "a stretch leaves loose, or sets against itself, a second joint that the muscle crosses",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("two_joint_left_loose.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for s in stretched(case).into_iter().filter(|s| s.stretch.verdict() == Verdict::Lengthens) {
        let Some((part, loose)) = worst(&s) else { continue };
        let (step, name, gain) = (&s.item.name, s.part_name(part), millimetres(loose.gain));
        let how = if loose.against { "sets it against the stretch" } else { "says nothing of it" };
        let message = format!(
            "{step} gives {} of length to {name}; {gain} more lie in the {}, and the step {how}",
            millimetres(part.change.total),
            loose.joint.joint
        );
        let placed = s.stretch.placed.iter().find(|p| p.joint == loose.joint);
        let at = placed.filter(|p| !p.carried).map_or(s.item.at, |p| p.at);
        let finding = sink.report(at, if loose.against { "takes length away" } else { "left loose" }, message);
        if let Some(carried) = placed.filter(|p| p.carried) {
            finding.also(carried.at, "set by the position");
        }
        finding.help(format!(
            "set `{}: {}` or as near to it as the person allows; if it is slack on purpose, say so in the step",
            loose.joint.id,
            typed(loose.angle)
        ));
    }
}

/// The joint that could add most, among joints of which nothing is placed or which are placed against
/// the stretch, in a part that crosses more than one joint.
fn worst<'a>(s: &'a Stretched<'_>) -> Option<(&'a PartStretch, &'a Loose)> {
    let parts = s.stretch.parts.iter().filter(|p| p.verdict == Verdict::Lengthens && several_joints(p));
    let all = parts.flat_map(|p| p.loose.iter().map(move |l| (p, l)));
    let silent = |l: &Loose| !s.stretch.placed.iter().any(|p| p.joint.joint == l.joint.joint);
    all.filter(|(_, l)| l.against || silent(l)).max_by(|a, b| a.1.gain.total_cmp(&b.1.gain))
}

fn several_joints(part: &PartStretch) -> bool {
    let mut joints = part.part.arms().iter().map(|(joint, _)| joint.joint);
    let first = joints.next();
    joints.any(|j| Some(j) != first)
}

//! Stretches at whose angles the muscle is shorter than in neutral.

use super::{advice, posture, stretched};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::amount::millimetres;
use crate::compute::mechanics::Verdict;
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "stretch-shortens-target",
    summary: "by its moment arms the muscle is shorter in the stretch than in neutral",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("stretch_shortens_target.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for s in stretched(case) {
        if s.stretch.verdict() != Verdict::Shortens {
            continue;
        }
        let Some(part) = s.stretch.shortest() else { continue };
        let (name, step, mm) = (s.part_name(part), &s.item.name, millimetres(-part.change.total));
        let message = format!("{step} is a stretch, and at its angles {name} is {mm} shorter than in neutral");
        let finding = sink.report(s.item.at, "shortens its target", message);
        s.label_joints(part, finding);
        if part.change.coupling.abs() >= 0.05 {
            let way = if part.change.coupling < 0.0 { "shorter" } else { "longer" };
            finding.note(format!(
                "The angles together make it {} {way} beyond the sum of the joints.",
                millimetres(part.change.coupling.abs())
            ));
        }
        finding.note(format!("The error of the model is {}. No part of the muscle becomes longer.", millimetres(part.part.error())));
        finding.help(advice(part, &posture(s.stretch)).unwrap_or_else(|| "no single joint lengthens it: choose another position".into()));
    }
}

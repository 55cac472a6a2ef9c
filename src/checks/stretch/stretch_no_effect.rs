//! Stretches that change the length of the muscle by no more than the error of the model.

use super::{advice, posture, stretched};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::amount::millimetres;
use crate::compute::mechanics::Verdict;
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "stretch-no-effect",
    summary: "the angles of a stretch change the length of its muscle by no more than the error",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("stretch_no_effect.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for s in stretched(case) {
        let verdict = s.stretch.verdict();
        if !matches!(verdict, Verdict::NoDifference | Verdict::LongestInNeutral) {
            continue;
        }
        let Some(part) = s.stretch.longest() else { continue };
        let (name, step, mm, error) = (&s.muscle.name.value, &s.item.name, millimetres(part.change.total), millimetres(part.part.error()));
        let message = format!("{step} stretches {name}, and its angles make {mm} of length, within the error of {error}");
        let finding = sink.report(s.item.at, "makes no difference", message);
        s.label_joints(part, finding);
        if verdict == Verdict::LongestInNeutral {
            finding
                .note("The muscle is already longest in the neutral position: no angle of its tables lengthens it by more than the error.");
            finding.help("leave the stretch out, or name the muscle that it is for");
            continue;
        }
        finding.help(advice(part, &posture(s.stretch)).unwrap_or_else(|| "set the joints that the muscle crosses".into()));
    }
}

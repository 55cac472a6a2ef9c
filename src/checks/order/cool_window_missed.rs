//! A stretch that comes so long after the cold before it that the skin is warm again.

use super::{named, time};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::steps::StepFacts;
use crate::compute::thermal::spoken;
use crate::finding::Level;
use crate::model::interval::exceeds;
use crate::model::region::any_meets;
use crate::model::vocabulary::Stressor;

/// The check.
pub static CHECK: Check = Check {
    name: "cool-window-missed",
    summary: "the stretch that is to follow a cold sweep can come when the skin is warm again",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("cool_window_missed.md"),
};

/// A stretch that begins within this time of the sweep follows it, however fast the skin warms, in seconds. As long as
/// a change of position takes. House figure of this tool, no source.
const AT_ONCE: f64 = 60.0;

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        let facts = case.facts.of(idx);
        for (row, sweep) in facts.steps.iter().enumerate() {
            let moves = sweep.technique.is_some_and(|t| case.catalog.techniques[t].sweep.is_some());
            if !moves || sweep.load(Stressor::Cold).is_none() {
                continue;
            }
            let mut after = facts.steps.iter().enumerate().skip(row + 1);
            // Another heat or cold, or pressing on the cooled skin, is told as that.
            let ends = |s: &StepFacts| [Stressor::Stretch, Stressor::Cold, Stressor::Heat].iter().any(|x| s.load(*x).is_some());
            let presses = |s: &StepFacts| [Stressor::Pressure, Stressor::Squeeze].iter().any(|x| s.load(*x).is_some());
            let next = after.find(|(_, s)| ends(s) || presses(s) && any_meets(&s.places, &sweep.places));
            let Some((later, _)) = next.filter(|(_, s)| s.load(Stressor::Stretch).is_some()) else { continue };
            let rewarm = sweep.thermal.as_ref().map(|t| (&t.exposure, t.exposure.rewarm()));
            let window = match rewarm {
                Some((_, None)) => continue,
                Some((_, Some(warm))) => warm.max(AT_ONCE),
                None => AT_ONCE,
            };
            let gap = facts.timeline.gap(row, later).map(|g| g.hi).filter(|gap| gap.is_finite() && exceeds(*gap, window));
            let (Some(gap), Some(first), Some(second)) = (gap, protocol.steps.get(row), protocol.steps.get(later)) else { continue };
            let message = format!("{} stretches up to {} after {} has cooled the skin", named(second), time(gap), named(first));
            let finding = sink.report(second.action.span, "the stretch", message);
            finding.also(first.action.span, "the cold");
            if let Some((exposure, _)) = rewarm {
                finding.note(format!("In the model the skin is warm again {}.", spoken::rewarm(exposure)));
            }
            finding.help(format!("move {} right behind {}, or leave the cold out", named(second), named(first)));
        }
    }
}

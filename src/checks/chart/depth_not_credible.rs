//! Deep muscles that are to be lifted or held like a fold of skin.

use crate::checks::text::words;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::{Muscle, Point};

/// The check.
pub static CHECK: Check = Check {
    name: "depth-not-credible",
    summary: "a deep muscle is gripped as if it lay under the skin, and no word says how",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("depth_not_credible.md"),
};

/// Words in `depth` that say how the hand gets past what lies over the muscle.
const PAST: [&str; 9] = ["through", "between", "under", "underneath", "behind", "past", "beneath", "slack", "slackened"];

fn run(case: &Case<'_>, sink: &mut Sink) {
    for muscle in case.catalog.muscles.rows().iter().filter(|m| is_deep(m)) {
        for point in muscle.points.iter().filter(|p| !says_how(p)) {
            let pincer = muscle.palpation.method.as_ref().filter(|m| &*m.value == "pincer");
            let lifted = point.pressure.as_ref().filter(|p| &*p.value == "lifted");
            let Some(grip) = lifted.or(pincer) else { continue };
            let message =
                format!("{} is a deep muscle, and its point {} is taken by `{}`", muscle.name.value, point.number.value, grip.value);
            let finding = sink.report(grip.span, "takes what lies on top", message);
            if let Some(layer) = &muscle.layer {
                finding.also(layer.span, "it lies deep");
            }
            finding.help("say in `depth` of the landmark how the hand gets there (through, between, under what), or correct grip or layer");
        }
    }
}

fn is_deep(muscle: &Muscle) -> bool {
    muscle.layer.as_ref().is_some_and(|l| l.value.trim_start().to_lowercase().starts_with("deep"))
}

fn says_how(point: &Point) -> bool {
    point.depth.as_ref().is_some_and(|d| {
        let said = words(&d.value);
        let deep_to = said.windows(2).any(|w| matches!(w, [a, b] if a.is_any(&["deep"]) && b.is_any(&["to"])));
        deep_to || said.iter().any(|w| w.is_any(&PAST))
    })
}

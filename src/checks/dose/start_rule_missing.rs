//! A technique on the skin without start criteria.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::vocabulary::Stressor;

/// The check.
pub static CHECK: Check = Check {
    name: "start-rule-missing",
    summary: "a technique that acts on the skin has no start criteria",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("start_rule_missing.md"),
};

/// What needs a look at the skin, or a test of feeling, before it starts.
const ON_SKIN: [Stressor; 6] = [Stressor::Heat, Stressor::Cold, Stressor::Pressure, Stressor::Squeeze, Stressor::Shear, Stressor::Topical];

fn run(case: &Case<'_>, sink: &mut Sink) {
    for technique in case.catalog.techniques.rows().iter().filter(|t| t.start.is_empty()) {
        let Some(exposes) = technique.exposes.iter().find(|e| ON_SKIN.contains(&e.stressor)) else { continue };
        let message = format!("{} gives {} and does not say when it may start", technique.name.value, exposes.stressor.word());
        sink.report(technique.name.span, "no `start` here", message).also(exposes.span, "this acts on the skin").help(
            "add `start` with what must be true first, for instance `[Skin intact.]` and, for heat or cold, `Sensation test passed.`",
        );
    }
}

//! A condition that stands on nothing.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "caution-unsourced",
    summary: "a condition has neither a source nor a basis",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("caution_unsourced.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for condition in case.catalog.conditions.rows().iter().filter(|c| c.ground.is_silent()) {
        let message = format!("`{}` has neither a source nor a basis", condition.name.value);
        sink.report(condition.name.span, "on whose word?", message)
            .help("add `cite:` with a source of the pack, or `basis: common practice` or `basis: house practice`");
    }
}

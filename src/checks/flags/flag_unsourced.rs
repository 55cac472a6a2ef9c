//! A flag that stands on nothing.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "flag-unsourced",
    summary: "a flag has neither a source nor a basis",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("flag_unsourced.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for flag in case.catalog.flags.rows().iter().filter(|f| f.ground.is_silent()) {
        let message = format!("`{}` has neither a source nor a basis", flag.name.value);
        sink.report(flag.name.span, "on whose word?", message)
            .help("add `cite:` with the guidance it follows, or `basis: common practice` if there is none");
    }
}

//! A flag that lets treatment go on.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

const STOP: &str = "stop";

/// The check.
pub static CHECK: Check = Check {
    name: "flag-allows-treatment",
    summary: "a flag does not stop treatment",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("flag_allows_treatment.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for flag in case.catalog.flags.rows().iter().filter(|f| *f.treatment.value != *STOP) {
        let message = format!("`{}` does not stop treatment: it says `{}`", flag.name.value, flag.treatment.value);
        sink.report(flag.treatment.span, "only `stop` is possible", message)
            .note("A picture that allows treatment is a caution, and belongs in conditions/.")
            .help("write `treatment: stop` and put what may be done while help is on the way under `meanwhile`");
    }
}

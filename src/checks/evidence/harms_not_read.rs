//! A source that carries a claim of benefit, whose part on harms nobody has read, and that does not say what was.

use super::benefit_sources;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::Told;
use crate::model::evidence::HarmsStatus;

/// The check.
pub static CHECK: Check = Check {
    name: "harms-not-read",
    summary: "a source is used for benefit, its harms were not read, and it does not say what was",
    level: Level::Note,
    run: Run::Facts(run),
    page: include_str!("harms_not_read.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, claim) in benefit_sources(case.catalog) {
        let source = &case.catalog.sources[idx];
        let open = |h: &&Told<HarmsStatus>| h.status.value == HarmsStatus::NotRead && h.what.is_none();
        let Some(harms) = source.harms.as_ref().filter(open) else { continue };
        let message = format!("`{}` is used for a claim of benefit, and what it says of harms was not read", source.head.id.value);
        sink.report(harms.status.span, "not read", message)
            .also(claim.text.span, "the claim of benefit")
            .note("Until it has been, the page shows one side of this source.")
            .help("read it and write `reported`, `none reported` or `not collected`; if it cannot be had, say under `what` of `harms` which part was opened");
    }
}

//! A source that carries a claim of benefit, and of whose harms nothing is known here.

use super::benefit_sources;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::evidence::HarmsStatus;

/// The check.
pub static CHECK: Check = Check {
    name: "harms-not-extracted",
    summary: "a source is used for benefit and its harms were not read",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("harms_not_extracted.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, claim) in benefit_sources(case.catalog) {
        let source = &case.catalog.sources[idx];
        let (at, what) = match &source.harms {
            None => (source.head.id.span, "says nothing of harms"),
            Some(told) if told.status.value == HarmsStatus::NotRead => (told.status.span, "has harms that were not read"),
            Some(_) => continue,
        };
        let message = format!("`{}` is used for a claim of benefit and {what}", source.head.id.value);
        sink.report(at, what, message)
            .also(claim.text.span, "the claim of benefit")
            .help("read what the source says of harms and fill `harms`; `not collected` if nobody looked");
    }
}

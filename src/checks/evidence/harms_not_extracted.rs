//! A source that carries a claim of benefit, and of whose harms nothing is known here.

use super::benefit_sources;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "harms-not-extracted",
    summary: "a source is used for benefit and nothing is said of its harms",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("harms_not_extracted.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, claim) in benefit_sources(case.catalog) {
        let source = &case.catalog.sources[idx];
        if source.harms.is_some() {
            continue;
        }
        let message = format!("`{}` is used for a claim of benefit and says nothing of harms", source.head.id.value);
        sink.report(source.head.id.span, "says nothing of harms", message).also(claim.text.span, "the claim of benefit").help(
            "read what the source says of harms and fill `harms`; `not collected` if nobody looked, `not read` if that part was not opened",
        );
    }
}

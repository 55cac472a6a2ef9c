//! A value whose source nobody opened.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "secondary-citation",
    summary: "a value is cited to a source that was read only in another source",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("secondary_citation.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let id = |s: crate::model::Idx<crate::model::docs::Source>| &case.catalog.sources[s].head.id.value;
    for (_, cite) in &case.catalog.cites {
        let Some(through) = &cite.through else { continue };
        let (Some(original), Some(read)) = (cite.source.to, through.to) else { continue };
        if original == read {
            sink.report(through.span(), "the same source", format!("`{}` is cited as read in itself", id(read)))
                .help("delete `through:`, or name the source in which it was read");
            continue;
        }
        sink.report(through.span(), "read here", format!("`{}` was not opened: it is cited as `{}` reports it", id(original), id(read)))
            .also(cite.source.span(), "the original")
            .note("Numbers change on the way from paper to paper, and so does what they are numbers of.")
            .help("read the original, correct the value and `at:`, then delete `through:`; or cite the one that was read for what it says itself");
    }
}

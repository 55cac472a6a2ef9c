//! A source that no document cites.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::Kind;

/// The check.
pub static CHECK: Check = Check {
    name: "source-never-used",
    summary: "no document cites a source",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("source_never_used.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    // A broken reference or document may be the very citation that is missing.
    if !case.catalog.complete {
        return;
    }
    for doc in case.catalog.docs(Kind::Source) {
        let references = case.catalog.references_to(doc);
        let cited = references.iter().any(|r| r.from.kind != Kind::Source);
        let (Some(head), false) = (case.catalog.head(doc), cited) else { continue };
        let id = &head.id.value;
        let finding = sink.report(head.id.span, "cited by nothing", format!("no document cites the source `{id}`"));
        for reference in references.iter().filter(|r| r.from != doc).take(2) {
            finding.also(reference.at, "only another source names it");
        }
        finding.help(format!("cite it where it counts, name it in a text as `[words](source:{id})`, or delete it"));
    }
}

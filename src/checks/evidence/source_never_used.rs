//! A source that no document cites.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::{Catalog, DocRef, Kind};
use crate::plan::site::doc;
use std::collections::BTreeSet;

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
    let used = used(case.catalog);
    for doc in case.catalog.docs(Kind::Source).filter(|d| !used.contains(d)) {
        let Some(head) = case.catalog.head(doc) else { continue };
        let id = &head.id.value;
        let finding = sink.report(head.id.span, "cited by nothing", format!("no document cites the source `{id}`"));
        for reference in case.catalog.references_to(doc).iter().filter(|r| r.from != doc).take(2) {
            finding.also(reference.at, "only a source that is not used itself names it");
        }
        finding.help(format!("cite it where it counts, name it in a text as `[words](source:{id})`, or delete it"));
    }
}

/// Sources that something rests on, with what they name: the trials of a review and the study of a report have to
/// stand in the pack, or nobody would see that people are counted twice or that a trial was retracted.
fn used(catalog: &Catalog) -> BTreeSet<DocRef> {
    let cited = |d: &DocRef| catalog.references_to(*d).iter().any(|r| r.from.kind != Kind::Source);
    let mut used: BTreeSet<DocRef> = catalog.docs(Kind::Source).filter(cited).collect();
    let mut open: Vec<DocRef> = used.iter().copied().collect();
    while let Some(source) = open.pop().and_then(|d| catalog.sources.rows().get(d.row as usize)) {
        let named = source.includes.iter().chain(&source.part_of).filter_map(|r| r.to).map(|to| doc(Kind::Source, to));
        open.extend(named.filter(|d| used.insert(*d)).collect::<Vec<_>>());
    }
    used
}

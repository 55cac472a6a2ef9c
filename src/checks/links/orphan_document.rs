//! A document that nothing uses.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::Kind;

/// The check.
pub static CHECK: Check = Check {
    name: "orphan-document",
    summary: "nothing refers to a technique, measure or position",
    level: Level::Note,
    run: Run::Facts(run),
    page: include_str!("orphan_document.md"),
};

/// Muscles, protocols, conditions, flags, sessions and pages are entered directly or are derived; sources have a
/// check of their own.
const KINDS: [Kind; 3] = [Kind::Measure, Kind::Position, Kind::Technique];

fn run(case: &Case<'_>, sink: &mut Sink) {
    // A broken reference or document may be the very use that is missing.
    if !case.catalog.complete {
        return;
    }
    for doc in KINDS.into_iter().flat_map(|kind| case.catalog.docs(kind)) {
        let used = case.catalog.references_to(doc).iter().any(|r| r.from != doc);
        let (Some(head), false) = (case.catalog.head(doc), used) else { continue };
        let (word, id) = (doc.kind.word(), &head.id.value);
        sink.report(head.id.span, "used by nothing", format!("nothing refers to the {word} `{id}`"))
            .help(format!("refer to it, in a text as `[words]({word}:{id})`, or delete the document"));
    }
}

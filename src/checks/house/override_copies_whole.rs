//! A document that stands in place of one of the base pack.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::Kind;
use crate::model::docs::Origin;

/// The check.
pub static CHECK: Check = Check {
    name: "override-copies-whole",
    summary: "a document of the base pack is replaced by a whole copy",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("override_copies_whole.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for doc in case.catalog.all_docs().filter(|d| d.kind != Kind::Page) {
        let Some(head) = case.catalog.head(doc).filter(|h| h.origin == Origin::Replaced) else { continue };
        let name = case.catalog.name(doc);
        let mut finding =
            sink.report(head.id.span, "a whole document", format!("`{name}` takes the place of the document of the base pack"));
        finding = finding
            .note("What the base pack mends in its document will not reach this one.")
            .help("write what differs into changes/ and delete this document, or give it an id of its own");
        if let Some(base) = case.facts.house(head.pack).and_then(|h| h.catalog.head(h.catalog.find(doc.kind, &head.id.value)?)) {
            finding.also(base.id.span, "what it replaces");
        }
    }
}

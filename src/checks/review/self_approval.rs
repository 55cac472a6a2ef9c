//! A document that its author alone has approved.

use crate::checks::{Case, Check, Run, Sink};
use crate::compute::currency::sign_off::Need;
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "self-approval",
    summary: "the author is the only one who approved a document",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("self_approval.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for doc in case.catalog.all_docs() {
        let (Some(head), Some(sign_off)) = (case.catalog.head(doc), case.facts.currency.sign_off(&case.catalog.name(doc))) else {
            continue;
        };
        for need in &sign_off.needs {
            let Need::OtherThanAuthor(author) = need else { continue };
            let name = case.catalog.name(doc);
            sink.report(head.at, format!("written by {author}"), format!("`{name}` is approved by `{author}` alone, who wrote it"))
                .help("let another role read and approve it");
        }
    }
}

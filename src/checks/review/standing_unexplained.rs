//! A suspended or retired document that does not say since when and why.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::vocabulary::Status;

/// The check.
pub static CHECK: Check = Check {
    name: "standing-unexplained",
    summary: "a suspended or retired document does not say since when, why, or what takes its place",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("standing_unexplained.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for doc in case.catalog.all_docs() {
        let Some(head) = case.catalog.head(doc) else { continue };
        let Some(status) = head.status.as_ref().filter(|s| matches!(s.value, Status::Suspended | Status::Retired)) else { continue };
        let missing: Vec<&str> = [("since", head.since.is_none()), ("because", head.because.is_none())]
            .into_iter()
            .filter(|(_, gone)| *gone)
            .map(|(k, _)| k)
            .collect();
        let (name, word) = (case.catalog.name(doc), status.value.word());
        if !missing.is_empty() {
            let keys = missing.join(" and ");
            sink.report(status.span, format!("{word} without {keys}"), format!("`{name}` is {word} and does not say {keys}"))
                .help("write `since: YEAR-MONTH-DAY` and `because: …`; both stand on the page and in the withdrawal list");
        }
        let Some(successor) = &head.successor else { continue };
        if case.catalog.find(doc.kind, &successor.value).is_none_or(|s| s == doc) {
            let message =
                format!("`{name}` names `{}` as its successor, which is no other {} of the packs", successor.value, doc.kind.word());
            sink.report(successor.span, "no such document", message).help(format!("name a document of {}/", doc.kind.folder()));
        }
    }
}

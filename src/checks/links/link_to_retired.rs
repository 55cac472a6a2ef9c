//! A reference to a document that is retired.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::DocRef;
use crate::model::vocabulary::Status;

/// The check.
pub static CHECK: Check = Check {
    name: "link-to-retired",
    summary: "a document in use refers to a retired one",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("link_to_retired.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let retired = |doc: DocRef| case.catalog.head(doc).and_then(|h| h.status.as_ref()).filter(|s| s.value == Status::Retired);
    for doc in case.catalog.all_docs() {
        let (Some(status), Some(head)) = (retired(doc), case.catalog.head(doc)) else { continue };
        for back in case.catalog.references_to(doc).iter().filter(|b| b.from != doc && retired(b.from).is_none()) {
            let name = case.catalog.name(doc);
            let message = format!("`{}` refers to `{name}`, which is retired", case.catalog.name(back.from));
            let help = match &head.successor {
                Some(next) => format!("refer to its successor, `{}`", next.value),
                None => "take the reference out; the retired document names no successor".into(),
            };
            sink.report(back.at, "retired", message).also(status.span, "retired here").help(help);
        }
    }
}

//! A source that was withdrawn, or over which its journal has voiced concern, and on which something rests.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::Source;
use crate::model::evidence::RetractionStatus;
use crate::model::{DocRef, Kind};

/// The check.
pub static CHECK: Check = Check {
    name: "source-retracted",
    summary: "something rests on a source that was retracted or stands under concern",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("source_retracted.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, source) in case.catalog.sources.iter() {
        let Some((status, what, help)) = fallen(source) else { continue };
        let doc = DocRef { kind: Kind::Source, row: u32::try_from(idx.row()).unwrap_or(u32::MAX) };
        // Another source names it as its trial or its other report; that rests on nothing yet.
        for used in case.catalog.references_to(doc).iter().filter(|b| b.from.kind != Kind::Source) {
            let place = format!("{}/{}", used.from.kind.folder(), case.catalog.id(used.from));
            let message = format!("`{}` {what}, and {place} uses it", source.head.id.value);
            let finding = sink.report(used.at, "used here", message);
            finding.also(status, what);
            if let Some(day) = &source.retraction_checked {
                finding.note(format!("Looked up on {}.", day.value));
            }
            if let Some(notice) = &source.retraction_notice {
                finding.note(format!("Notice: {}", notice.value));
            }
            finding.help(help);
        }
    }
}

fn fallen(source: &Source) -> Option<(crate::source::Span, &'static str, &'static str)> {
    let status = source.retraction.as_ref()?;
    match status.value {
        RetractionStatus::Retracted => {
            Some((status.span, "was retracted", "take it out of what rests on it, and judge the claim or the number again without it"))
        }
        RetractionStatus::Concern => Some((
            status.span,
            "stands under a concern of its journal",
            "read the notice; take the source out, or allow the finding until the journal has decided, with a date",
        )),
        _ => None,
    }
}

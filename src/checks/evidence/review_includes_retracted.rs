//! A review that holds a trial which was withdrawn.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::evidence::RetractionStatus;
use crate::model::{DocRef, Kind};

/// The check.
pub static CHECK: Check = Check {
    name: "review-includes-retracted",
    summary: "a review that is used includes a retracted trial",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("review_includes_retracted.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, review) in case.catalog.sources.iter() {
        let doc = DocRef { kind: Kind::Source, row: u32::try_from(idx.row()).unwrap_or(u32::MAX) };
        let used = case.catalog.references_to(doc).iter().find(|b| b.from.kind != Kind::Source);
        let Some(used) = used else { continue };
        for inside in &review.includes {
            let Some(trial) = inside.to.map(|t| &case.catalog.sources[t]) else { continue };
            let Some(status) = &trial.retraction else { continue };
            let what = match status.value {
                RetractionStatus::Retracted => "which was retracted",
                RetractionStatus::Concern => "which stands under a concern of its journal",
                _ => continue,
            };
            let message = format!("the review `{}` includes `{}`, {what}", review.head.id.value, trial.head.id.value);
            sink.report(inside.span(), "included here", message)
                .also(status.span, status.value.word())
                .also(used.at, "the review is used here")
                .help("look whether the review holds without this trial; say so where the review is used, and lower the certainty if it does not");
        }
    }
}

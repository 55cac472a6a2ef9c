//! A review pooled beside a trial that it already holds.

use crate::checks::{Case, Check, Run, Sink};
use crate::compute::appraisal::overlap::Shared;
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "review-with-its-own-trials",
    summary: "a pool holds a review and a trial that the review includes",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("review_with_its_own_trials.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for pair in super::pairs(case, |how| matches!(how, Shared::Review)) {
        let (review, trial) = pair.sources(case.catalog);
        let message = format!("`{}` pools `{review}` and `{trial}`, which `{review}` includes", pair.question.head.id.value);
        let finding = sink.report(pair.second.source.span(), "already inside the review", message);
        finding.also(pair.first.source.span(), "the review");
        let lists = pair.first.source.to.map(|s| &case.catalog.sources[s].includes);
        if let Some(inside) = lists.and_then(|l| l.iter().find(|i| i.to.is_some() && i.to == pair.second.source.to)) {
            finding.also(inside.span(), "listed here");
        }
        finding
            .note("The people of the trial would be counted twice.")
            .help("pool the trials without the review, or show the review alone");
    }
}

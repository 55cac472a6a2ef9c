//! A source with results of which nobody wrote down who paid and who gains.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "interests-not-recorded",
    summary: "a source with results does not record funding or interests",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("interests_not_recorded.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for source in case.catalog.sources.rows().iter().filter(|s| !s.results.is_empty()) {
        let missing = match (&source.funding, &source.interests) {
            (None, None) => "funding and interests",
            (None, _) => "funding",
            (_, None) => "interests",
            _ => continue,
        };
        let message = format!("`{}` brings results and does not record {missing}", source.head.id.value);
        sink.report(source.head.id.span, format!("no {missing}"), message).help(
            "add `funding: {status: …, what: …}` and `interests: {status: …, what: …}`; `not stated` if the source is silent, `not read` if nobody has looked",
        );
    }
}

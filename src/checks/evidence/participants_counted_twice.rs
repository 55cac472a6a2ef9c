//! People who are counted twice in one pool.

use crate::checks::{Case, Check, Run, Sink};
use crate::compute::appraisal::overlap::Shared;
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "participants-counted-twice",
    summary: "a pool counts the same people twice",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("participants_counted_twice.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for pair in super::pairs(case, |how| !matches!(how, Shared::Review)) {
        let (first, second) = pair.sources(case.catalog);
        let id = &pair.question.head.id.value;
        let (what, help) = match pair.how {
            Shared::Result => (format!("the same result of `{first}` twice"), "take one out"),
            Shared::Arm(arm) => (
                format!("the arm `{}` of `{first}` in two comparisons", arm.value),
                "put the arms together into one comparison, or keep the comparison that answers the question",
            ),
            Shared::Source => (
                format!("two results of `{first}` that name no arms"),
                "keep one of them, or name the `arms` of each if they are other people",
            ),
            Shared::Study(root) => (
                format!("`{first}` and `{second}`, two reports of `{}`", case.catalog.sources[root].head.id.value),
                "keep the report that fits the time the question asks about",
            ),
            Shared::Review => continue,
        };
        let message = format!("`{id}` pools {what}");
        let finding = sink.report(pair.second.result.span, "the same people again", message);
        finding.also(pair.first.result.span, "already counted here");
        if let Shared::Arm(arm) = pair.how {
            finding.also(arm.span, "shared arm");
        }
        finding.note("A pool takes its results for different people; counting some twice makes the interval too narrow.").help(help);
    }
}

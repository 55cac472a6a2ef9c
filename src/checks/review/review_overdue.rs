//! A document past the day by which it was to be looked at again.

use super::entries;
use super::named::{documents, list};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "review-overdue",
    summary: "the day by which a pack or document was to be reviewed has passed",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("review_overdue.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for head in case.catalog.all_docs().filter_map(|doc| case.catalog.head(doc)) {
        let Some(day) = head.review_by.as_ref().filter(|d| d.value < case.today) else { continue };
        let message = format!("`{}` was to be reviewed by {}, and it is {}", head.id.value, day.value, case.today);
        sink.report(day.span, "this day has passed", message)
            .help("review it, change what has to change, and write the day of the next review");
    }
    for (day, entries) in entries::by_review_day(case) {
        let Some(first) = entries.first().filter(|_| day < case.today) else { continue };
        let message = format!("{} to be reviewed by {day}, and it is {}", were(entries.len()), case.today);
        sink.report(first.at("review-by"), "this day has passed", message)
            .note(format!("Overdue: {}.", list(entries.iter().map(|e| &e.approval.document))))
            .help("review, change what has to change, and approve again with `fascicle approve`");
    }
}

fn were(n: usize) -> String {
    format!("{} {}", documents(n), if n == 1 { "was" } else { "were" })
}

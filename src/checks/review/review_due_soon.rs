//! A review that is due within three months.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "review-due-soon",
    summary: "the review of a pack or document is due within 90 days",
    level: Level::Note,
    run: Run::Facts(run),
    page: include_str!("review_due_soon.md"),
};

/// Days before the review from which on it is announced.
const NOTICE: i32 = 90;

fn run(case: &Case<'_>, sink: &mut Sink) {
    for head in case.catalog.all_docs().filter_map(|doc| case.catalog.head(doc)) {
        let Some(day) = &head.review_by else { continue };
        let left = day.value.duration_since(case.today).as_hours() / 24;
        if (0..=i64::from(NOTICE)).contains(&left) {
            let when = if left == 1 { "1 day".into() } else { format!("{left} days") };
            let message = format!("the review of `{}` is due in {when}, on {}", head.id.value, day.value);
            sink.report(day.span, "due soon", message).help("plan the reading now, so that the cards can be printed in time");
        }
    }
}

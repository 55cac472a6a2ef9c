//! A review that is due within three months.

use super::entries;
use super::named::{documents, list};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::currency::sign_off::NOTICE_DAYS;
use crate::finding::Level;
use jiff::civil::Date;

/// The check.
pub static CHECK: Check = Check {
    name: "review-due-soon",
    summary: "the review of a pack or document is due within 90 days",
    level: Level::Note,
    run: Run::Facts(run),
    page: include_str!("review_due_soon.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for head in case.catalog.all_docs().filter_map(|doc| case.catalog.head(doc)) {
        let Some(day) = &head.review_by else { continue };
        if let Some(when) = soon(day.value, case.today) {
            let message = format!("the review of `{}` is due in {when}, on {}", head.id.value, day.value);
            sink.report(day.span, "due soon", message).help("plan the reading now, so that the cards can be printed in time");
        }
    }
    for (day, entries) in entries::by_review_day(case) {
        let (Some(first), Some(when)) = (entries.first(), soon(day, case.today)) else { continue };
        let message = format!("the review of {} is due in {when}, on {day}", documents(entries.len()));
        sink.report(first.at("review-by"), "due soon", message)
            .note(format!("Due: {}.", list(entries.iter().map(|e| &e.approval.document))))
            .help("plan the reading now, so that the cards can be printed in time");
    }
}

/// The time left in words, if it is short.
fn soon(day: Date, today: Date) -> Option<String> {
    let left = day.duration_since(today).as_hours() / 24;
    let when = if left == 1 { "1 day".into() } else { format!("{left} days") };
    (0..=i64::from(NOTICE_DAYS)).contains(&left).then_some(when)
}

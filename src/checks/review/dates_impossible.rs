//! Days and years that cannot be.

use super::entries;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::Kind;
use crate::model::docs::Entry;
use crate::source::{Span, Spanned};
use jiff::civil::Date;

/// The check.
pub static CHECK: Check = Check {
    name: "dates-impossible",
    summary: "a day or year lies in the future, or before what it looks back on",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("dates_impossible.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for source in case.catalog.sources.rows() {
        let year = source.bibliography.issued.as_ref().map(|i| (i64::from(i.value.year), i.span));
        pair(case.today, year, source.retraction_checked.as_ref(), ["the publication", "the look for a retraction"], sink);
    }
    for flag in case.catalog.flags.rows() {
        let year = flag.guidance_year.as_ref().map(|y| (y.value, y.span));
        pair(case.today, year, flag.guidance_checked.as_ref(), ["the guidance", "the look at the guidance"], sink);
    }
    let mut before = None;
    for entry in entries::all(case) {
        approval(case, entry, before, sink);
        before = Some(entry);
    }
}

/// Judges the days of an approval: not in the future, not before the one in front of it, not after its own review, not before
/// a source on which the document rests was issued.
fn approval(case: &Case<'_>, entry: &Entry, before: Option<&Entry>, sink: &mut Sink) {
    let (date, document) = (entry.approval.date, &entry.approval.document);
    if date > case.today {
        sink.report(entry.at("date"), "in the future", format!("`{document}` was approved on {date}, and it is {}", case.today))
            .help("set the clock of the machine, or give the right `--today`; the entry itself cannot be mended, only followed by another");
        return;
    }
    if let Some(before) = before.filter(|b| b.approval.date > date) {
        let message = format!("`{document}` was approved on {date}, after an approval of {}", before.approval.date);
        sink.report(entry.at("date"), "too early", message)
            .also(before.at("date"), "the approval in front of it")
            .help("approve again with the right day");
    }
    if entry.approval.review_by <= date {
        let message = format!("`{document}` was approved on {date}, and its review was to be by {}", entry.approval.review_by);
        sink.report(entry.at("review-by"), "too early", message).help("approve again with a day that comes after");
    }
    let sources = case.facts.currency.sign_off(document).filter(|s| s.current.contains(&entry.approval));
    let rests = sources.and_then(|_| case.facts.currency.named(document)).map(|s| &s.rests_on);
    for source in rests.into_iter().flat_map(|r| r.keys()).filter(|n| n.kind == Kind::Source) {
        let issued = case.catalog.find(source.kind, &source.id).and_then(|d| case.catalog.sources.rows().get(d.row as usize));
        let year = issued.and_then(|s| s.bibliography.issued.as_ref()).filter(|i| i64::from(i.value.year) > i64::from(date.year()));
        if let Some(year) = year {
            let message = format!("`{document}` was approved on {date}, and rests on a source of {}", year.value.year);
            sink.report(entry.at("date"), "before its source", message).also(year.span, "the year").help("mend the year, or approve again");
        }
    }
}

/// Judges a year and a later look at it.
fn pair(today: Date, year: Option<(i64, Span)>, checked: Option<&Spanned<Date>>, what: [&str; 2], sink: &mut Sink) {
    let future_year = year.filter(|(y, _)| *y > i64::from(today.year()));
    let future_day = checked.filter(|d| d.value > today);
    if let Some((y, at)) = future_year {
        sink.report(at, "in the future", format!("{} is of {y}, and it is {}", what[0], today.year()))
            .help("write the year that is printed");
    }
    if let Some(day) = future_day {
        sink.report(day.span, "in the future", format!("{} is dated {}, and it is {today}", what[1], day.value))
            .help("write the day on which it was done");
    }
    if let (Some((y, at)), Some(day), None, None) = (year, checked, future_year, future_day)
        && i64::from(day.value.year()) < y
    {
        sink.report(day.span, "too early", format!("{} is dated {}, before the year {y} of {}", what[1], day.value, what[0]))
            .also(at, "the year")
            .help("mend the day or the year");
    }
}

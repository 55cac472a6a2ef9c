//! Days and years that cannot be.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
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

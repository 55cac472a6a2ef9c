//! A flag whose guidance is old, or whose age is not stated.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// Guidance of more years than this is to be looked up again. A house number: no source sets it.
const MOST_YEARS: i64 = 10;

/// The check.
pub static CHECK: Check = Check {
    name: "flag-guidance-old",
    summary: "a flag follows guidance that is more than 10 years old, or does not say how old it is",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("flag_guidance_old.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for flag in case.catalog.flags.rows() {
        let name = &flag.name.value;
        let Some(year) = &flag.guidance_year else {
            sink.report(flag.name.span, "how old is it?", format!("`{name}` does not say how old its guidance is"))
                .help("add `guidance: {year: <year of the guidance>, checked: <day on which you looked>}`");
            continue;
        };
        let age = i64::from(case.today.year()) - year.value;
        if age > MOST_YEARS {
            let message = format!("`{name}` follows guidance of {}, which is {age} years old", year.value);
            sink.report(year.span, format!("more than {MOST_YEARS} years ago"), message)
                .help("look up the guidance in force, change what differs, then write its year and the day under `checked`");
        }
    }
}

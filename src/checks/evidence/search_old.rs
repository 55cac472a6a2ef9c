//! A question whose last search lies too far back.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "search-old",
    summary: "the last search of a question is older than the pack allows",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("search_old.md"),
};

/// Oldest search where the pack says nothing, years. House practice of the tool.
const USUAL_YEARS: f64 = 2.0;
const DAYS_A_YEAR: f64 = 365.25;
const SECONDS_A_DAY: f64 = 86_400.0;

fn run(case: &Case<'_>, sink: &mut Sink) {
    for question in case.catalog.questions.rows() {
        let Some(date) = &question.search.date else { continue };
        let stated = case.pack(&question.head).search_limit.as_ref();
        let limit = stated.map_or(USUAL_YEARS * DAYS_A_YEAR, |l| l.value.base().hi / SECONDS_A_DAY);
        #[expect(clippy::cast_precision_loss, reason = "days of a search are few")]
        let days = (case.today.duration_since(date.value).as_hours() / 24) as f64;
        if days <= limit {
            continue;
        }
        let most = stated.map_or_else(|| "2 years".to_string(), |l| l.value.shown());
        let age = days / DAYS_A_YEAR;
        let message = format!("`{}` was last searched on {}, {age:.1} years ago; the limit is {most}", question.head.id.value, date.value);
        let finding = sink.report(date.span, format!("{age:.1} years ago"), message);
        if let Some(limit) = stated {
            finding.also(limit.span, "the limit of this pack");
        }
        finding.help("search again, add what was found, and write the new date");
    }
}

//! A loosening past its last day.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "override-reason-expired",
    summary: "the last day of a loosening has passed",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("override_reason_expired.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for change in case.catalog.changes.rows() {
        let Some(day) = change.loosening.as_ref().and_then(|l| l.until.as_ref()).filter(|d| d.value < case.today) else { continue };
        let message = format!("the loosening `{}` was let through until {}, and it is {}", change.head.id.value, day.value, case.today);
        sink.report(day.span, "this day has passed", message)
            .note("An exception that nobody ends becomes the rule.")
            .help("take the loosening back, or have it approved again with a new argument and a new day");
    }
}

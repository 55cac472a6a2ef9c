//! A range so wide that it guides nobody.

use super::item::items;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::DoseValue;
use crate::model::interval::exceeds;
use crate::model::quantity::number;
use crate::model::unit::Dim;

/// The check.
pub static CHECK: Check = Check {
    name: "dose-range-too-wide",
    summary: "the high end of a dose is more than five times its low end",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("dose_range_too_wide.md"),
};

/// House convention of the tool, not a published figure.
const WIDEST: f64 = 5.0;

fn run(case: &Case<'_>, sink: &mut Sink) {
    for item in items(case) {
        for entry in &item.dose.entries {
            let DoseValue::Amount(given) = &entry.value else { continue };
            let base = given.base();
            // A cap on pain starts at no pain by its nature; an open end is reported as such.
            if given.is_open() || given.dim() == Dim::Pain || !exceeds(base.hi, WIDEST * base.lo) {
                continue;
            }
            let (name, shown) = (&entry.name.value, given.shown());
            let by = if base.lo > 0.0 {
                format!("{} times the low end", number((base.hi / base.lo * 10.0).round() / 10.0))
            } else {
                "from nothing".into()
            };
            sink.report(
                entry.span,
                by,
                format!("`{name}` of {} runs from {} to {}", item.name, number(given.written.lo), shown_end(given.written.hi, &shown)),
            )
            .note(format!("A range is called too wide where its high end is more than {} times its low end.", number(WIDEST)))
            .help("narrow it to what is meant at the table, or split it into two steps");
        }
    }
}

/// The high end with its unit, taken from the shown range.
fn shown_end(hi: f64, shown: &str) -> String {
    shown.rsplit('–').next().map_or_else(|| number(hi), str::to_string)
}

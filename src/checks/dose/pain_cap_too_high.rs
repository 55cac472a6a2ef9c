//! A cap on pain above the ceiling of the house.

use super::item::items;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::{Amount, Pack};
use crate::model::interval::exceeds;
use crate::model::quantity::Quantity;
use crate::model::unit::Dim;
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "pain-cap-too-high",
    summary: "a cap on pain is above the ceiling of the house",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("pain_cap_too_high.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for item in items(case) {
        for exposes in &item.technique.exposes {
            let Some(name) = &exposes.peak else { continue };
            if let Some(given) = item.dose.amount(&name.value) {
                compare(&item.name, given, item.entry_at(&name.value), item.pack, sink);
            }
        }
    }
    for technique in case.catalog.techniques.rows() {
        let peaks = technique.exposes.iter().filter_map(|e| e.peak.as_ref());
        let ranges = peaks.filter_map(|p| technique.parameter(&p.value)).filter_map(|p| p.allowed.as_ref());
        for range in ranges {
            compare(&technique.name.value, &range.value, range.span, case.pack(&technique.head), sink);
        }
    }
}

fn compare(who: &str, given: &Quantity, at: Span, pack: &Pack, sink: &mut Sink) {
    let Some(ceiling) = &pack.pain_cap else { return };
    let (most, open) = (given.base().hi, given.is_open());
    if given.dim() != Dim::Pain || open || !exceeds(most, ceiling.value.base().hi) {
        return;
    }
    report(who, most, at, ceiling, sink);
}

fn report(who: &str, most: f64, at: Span, ceiling: &Amount, sink: &mut Sink) {
    let house = ceiling.value.shown();
    sink.report(at, "above the ceiling", format!("{who} allows pain up to {most}/10, and the house ceiling is {house}"))
        .also(ceiling.span, "the ceiling of the house")
        .help(format!("lower it to {house} or less"));
}

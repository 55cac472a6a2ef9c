//! A time or count without an upper bound.

use super::item::{Item, items};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::{DoseEntry, DoseValue, JointAngle, Limit};
use crate::model::unit::Dim;
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "dose-open-ended",
    summary: "a time, count, pain number or joint angle has no upper bound",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("dose_open_ended.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for item in items(case) {
        item.dose.entries.iter().for_each(|entry| judge(&item, entry, sink));
        item.joints.iter().for_each(|joint| judge_joint(&item.name, joint, sink));
        let Some(row) = item.home else { continue };
        let home = &case.catalog.protocols[item.protocol].home[row];
        for (key, amount) in [("per-day", &home.per_day), ("days", &home.days), ("weeks", &home.weeks)] {
            if let Some(amount) = amount.as_ref().filter(|a| a.value.is_open()) {
                report(&item, key, amount.span, "a most", sink);
            }
        }
    }
    for position in case.catalog.positions.rows() {
        position.joints.iter().for_each(|joint| judge_joint(&format!("`{}`", position.name.value), joint, sink));
    }
    for pack in case.catalog.packs.rows() {
        pack.limits.iter().for_each(|limit| judge_limit(limit, sink));
    }
    for technique in case.catalog.techniques.rows() {
        technique.limits.iter().for_each(|limit| judge_limit(limit, sink));
    }
}

/// More layers are more cover and a faster sweep is less cold: these need no most.
fn harmless(dim: Dim) -> bool {
    matches!(dim, Dim::Layers | Dim::Speed)
}

fn judge(item: &Item<'_>, entry: &DoseEntry, sink: &mut Sink) {
    let parameter = item.technique.parameter(&entry.name.value);
    let allowed = parameter.and_then(|p| p.allowed.as_ref());
    match &entry.value {
        DoseValue::Amount(amount) if amount.is_open() && !harmless(amount.dim()) => {
            let within = allowed.map_or_else(|| "a range with a most".into(), |a| format!("a range within {}", a.value.shown()));
            report(item, &entry.name.value, entry.span, &within, sink);
        }
        DoseValue::Word(word) => {
            if let Some(allowed) = allowed {
                let message = format!("`{}` of {} is `{word}`, which bounds nothing", entry.name.value, item.name);
                sink.report(entry.span, "no amount", message)
                    .also(allowed.span, "amounts that the technique allows")
                    .help(format!("write a range within {}", allowed.value.shown()));
            }
        }
        DoseValue::Amount(_) | DoseValue::Unreadable => {}
    }
}

fn report(item: &Item<'_>, key: &str, at: Span, wanted: &str, sink: &mut Sink) {
    sink.report(at, "no number says when to stop", format!("`{key}` of {} has no upper bound", item.name))
        .note("A sign such as a softer feel may never come. It can end a step early; it cannot be the only end.")
        .help(format!("write {wanted}, and put the sign into `success`"));
}

/// An angle without an end has no middle, so the joint would drop out of length and range.
fn judge_joint(name: &str, joint: &JointAngle, sink: &mut Sink) {
    if joint.angle.value.is_open() {
        let message = format!("`{}` of {name} has no end", joint.coordinate.id);
        sink.report(joint.angle.span, "no number says how far", message)
            .note("Neither the length of the muscle nor the normal range can be judged for this joint.")
            .help("write one angle, or a range with both ends");
    }
}

fn judge_limit(limit: &Limit, sink: &mut Sink) {
    let Some(max) = limit.max.as_ref().filter(|m| m.value.is_open()) else { return };
    let message = format!("a limit for {} per {} has no upper bound", limit.stressor.word(), limit.per.word());
    sink.report(max.span, "this limits nothing", message).help("write one number with its unit");
}

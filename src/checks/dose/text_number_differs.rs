//! A number in a text that is not the number in the dose that it is about.

use super::free_amounts;
use super::item::{Item, items};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::ledger::weekly;
use crate::compute::spoken::{Bounds, Counts, Spoken, amounts};
use crate::finding::Level;
use crate::model::Wording;
use crate::model::docs::DoseValue;
use crate::model::interval::Interval;
use crate::model::unit::Dim;
use crate::source::Span;
use std::collections::HashMap;

/// The check.
pub static CHECK: Check = Check {
    name: "text-number-differs",
    summary: "a number in a text is not the number in the dose that it is about",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("text_number_differs.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let by_place: HashMap<Span, &Wording> = case.catalog.wordings.iter().map(|w| (w.text.span, w)).collect();
    let items = items(case);
    for item in &items {
        let fields = fields(case, item);
        for (key, text) in &item.texts {
            let Some(wording) = by_place.get(&text.span) else { continue };
            for spoken in amounts(&wording.text.value) {
                // A pain number in `success` tells what is hoped for, not what is allowed.
                if *key != "success" || spoken.counts != Counts::Dim(Dim::Pain) {
                    judge(item, &fields, wording, &spoken, sink);
                }
            }
        }
    }
    for stray in free_amounts::strays(case, &items) {
        let list: Vec<String> = stray.rivals.iter().take(3).map(|f| format!("{} is {}", f.name, f.shown)).collect();
        let message = format!("{} says `{}`, and {}", stray.place, stray.said, list.join(" and "));
        let finding = sink.report(stray.at, "not what the dose says", message);
        for field in stray.rivals.iter().take(3) {
            finding.also(field.at, field.name.clone());
        }
        finding.help("write what the dose says, or take the number out: the card and the page show it");
    }
}

/// A field that prose may repeat: its name, what it counts, the amount, the amount as shown, its place.
pub(super) struct Field {
    pub name: String,
    pub counts: Counts,
    pub amount: Interval,
    pub shown: String,
    pub at: Span,
}

/// Fields of a step or home item.
pub(super) fn fields(case: &Case<'_>, item: &Item<'_>) -> Vec<Field> {
    let mut out = Vec::new();
    for entry in &item.dose.entries {
        if let DoseValue::Amount(q) = &entry.value {
            let name = entry.name.value.to_string();
            out.push(Field { name, counts: Counts::Dim(q.dim()), amount: q.base(), shown: q.shown(), at: entry.span });
        }
    }
    let Some(home) = item.home.and_then(|row| case.catalog.protocols[item.protocol].home.get(row)) else { return out };
    let written = [("per-day", &home.per_day), ("days", &home.days), ("weeks", &home.weeks)];
    for (name, amount) in written.iter().filter_map(|(n, a)| a.as_ref().map(|a| (n, a))) {
        let (counts, factor) = match *name {
            "per-day" => (Counts::TimesADay, 1.0 / 7.0),
            "days" => (Counts::Dim(Dim::DaysPerWeek), 1.0),
            _ => (Counts::Programme, 1.0),
        };
        let base = amount.value.base();
        let base = Interval::new(base.lo * factor, base.hi * factor);
        out.push(Field { name: (*name).to_string(), counts, amount: base, shown: amount.value.shown(), at: amount.span });
        if let ("days", Some(often)) = (*name, weekly(home)) {
            out.push(Field {
                name: "days".into(),
                counts: Counts::TimesAWeek,
                amount: often,
                shown: amount.value.shown(),
                at: amount.span,
            });
        }
    }
    out
}

/// True if the text can be about this field.
pub(super) fn about(spoken: Counts, field: Counts) -> bool {
    match spoken {
        Counts::Times => matches!(field, Counts::Dim(Dim::Reps | Dim::Passes | Dim::Sets)),
        _ => spoken == field,
    }
}

/// True if the text says this amount.
pub(super) fn agrees(spoken: &Spoken, amount: Interval) -> bool {
    let same = |a: f64, b: f64| (a - b).abs() <= 1e-6 * a.abs().max(b.abs()).max(1.0);
    let (low, high) = (same(spoken.amount.lo, amount.lo), same(spoken.amount.hi, amount.hi));
    match spoken.bounds {
        Bounds::AtMost => high,
        Bounds::AtLeast => low,
        Bounds::Exactly => high && (low || spoken.counts == Counts::Dim(Dim::Pain)),
    }
}

fn judge(item: &Item<'_>, fields: &[Field], wording: &Wording, spoken: &Spoken, sink: &mut Sink) {
    let rivals: Vec<&Field> = fields.iter().filter(|f| about(spoken.counts, f.counts)).collect();
    let totals = item.facts.loads.iter().filter_map(|l| l.total).map(|(dim, amount)| (Counts::Dim(dim), amount));
    let mut derived = totals.chain(item.facts.duration.map(|d| (Counts::Dim(Dim::Time), d)));
    let known = rivals.iter().any(|f| agrees(spoken, f.amount)) || derived.any(|(c, amount)| c == spoken.counts && agrees(spoken, amount));
    let Some(first) = rivals.first().filter(|_| !known) else { return };
    let said = wording.text.value.get(spoken.at.clone()).unwrap_or_default();
    let list: Vec<String> = rivals.iter().map(|f| format!("`{}` is {}", f.name, f.shown)).collect();
    let message = format!("the text of {} says `{said}`, and {}", item.name, list.join(" and "));
    let finding = sink.report(wording.span_of(spoken.at.clone()), "not what the dose says", message);
    for field in &rivals {
        finding.also(field.at, format!("`{}`", field.name));
    }
    let only = if rivals.len() == 1 { format!("write {}", first.shown) } else { "write what the dose says".into() };
    finding.help(format!("{only}, or take the number out of the text: pages show the dose next to it"));
}

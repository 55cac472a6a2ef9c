//! Heat or resting cold of which nobody knows what lies between it and the skin.

use super::{Once, Warmed, warmed};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::thermal::apparatus::{COVER, LAYERS, Way, cover, layers};
use crate::finding::Level;
use crate::model::docs::DoseValue;
use crate::model::vocabulary::Cover;

/// The check.
pub static CHECK: Check = Check {
    name: "cover-layers-missing",
    summary: "a pack is laid on without saying how many layers of what lie under it",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("cover_layers_missing.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let mut once = Once::default();
    for step in warmed(case).iter().filter(|w| w.way != Way::Moving) {
        material(step, &mut once, sink);
        number(step, sink);
    }
}

fn material(step: &Warmed<'_>, once: &mut Once, sink: &mut Sink) {
    let item = &step.item;
    if cover(step.apparatus, item.dose).is_some() {
        return;
    }
    let (at, label) = match (item.dose.entry(COVER), step.apparatus) {
        (Some(entry), _) => (entry.span, "no material of the list"),
        (None, Some(apparatus)) => (apparatus.source.span, "covered with what?"),
        // Heat from an unknown source is told as that.
        (None, None) if step.way == Way::Heat => return,
        (None, None) => (item.technique.name.span, "covered with what?"),
    };
    if once.first(at) {
        let words = Cover::ALL.iter().map(|c| c.word()).collect::<Vec<_>>().join(", ");
        let message = format!("{} does not say what lies between pack and skin", item.technique.name.value);
        sink.report(at, label, message)
            .also(item.at, "laid on here")
            .note("A damp towel leads heat about five times better than a dry one of the same thickness.")
            .help(format!("add `cover:` with one of: {words}"));
    }
}

fn number(step: &Warmed<'_>, sink: &mut Sink) {
    let item = &step.item;
    let bare = cover(step.apparatus, item.dose) == Some(Cover::None);
    let unread = item.dose.entry(LAYERS).is_some_and(|e| matches!(e.value, DoseValue::Unreadable));
    if bare || unread || layers(item.dose).is_some() {
        return;
    }
    let label = if item.dose.entry(LAYERS).is_some() { "not a number of layers" } else { "how many layers?" };
    let message = format!("{} lays a pack on the skin and does not say how many layers lie between", item.name);
    let finding = sink.report(item.entry_at(LAYERS), label, message);
    if let Some(parameter) = item.technique.parameter(LAYERS) {
        finding.also(parameter.name.span, "the parameter of the technique");
    }
    finding.help(format!("add `{LAYERS}:`, for instance `{LAYERS}: 8 layers`; a folded towel is two or more"));
}

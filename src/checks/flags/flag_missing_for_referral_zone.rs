//! A pain zone reaches into a region that calls for a red-flag topic, and no flag covers it there.

use super::{by_topic, is_treated, say_what_to_write, written_at};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::flags::{Uncovered, Why};
use crate::finding::Level;
use crate::model::docs::Muscle;
use crate::source::Span;
use std::collections::BTreeSet;

/// The check.
pub static CHECK: Check = Check {
    name: "flag-missing-for-referral-zone",
    summary: "a point refers pain to a region that calls for a red-flag topic, and no flag covers it there",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("flag_missing_for_referral_zone.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let mut reported = BTreeSet::new();
    for (idx, protocol) in case.catalog.protocols.iter() {
        let Some(muscle) = protocol.muscle.to else { continue };
        for (topic, gaps) in by_topic(&case.facts.of(idx).flags.uncovered) {
            // A topic that is missing where a step treats is a mistake of that step's region first.
            if gaps.iter().any(|g| is_treated(g)) || !reported.insert((muscle, topic)) {
                continue;
            }
            report(case, &case.catalog.muscles[muscle], topic, &gaps, sink);
        }
    }
}

fn report(case: &Case<'_>, muscle: &Muscle, topic: &str, gaps: &[&Uncovered], sink: &mut Sink) {
    let Some((first, Why::RefersFrom(number))) = gaps.first().map(|g| (*g, g.reason.why)) else { return };
    let place = first.reason.place.shown().to_lowercase();
    let name = &muscle.name.value;
    let message = format!("point {number} of `{name}` can refer pain to {place}, and no red flag covers `{topic}` there");
    let finding = sink.report(at(muscle, number, first), format!("{place} calls for `{topic}`"), message);
    say_what_to_write(case, topic, gaps, finding);
}

/// The region as written in the zone, or the first outline of a zone that is drawn further than its words.
fn at(muscle: &Muscle, number: u32, gap: &Uncovered) -> Span {
    let zone = muscle.points.iter().find(|p| p.number.value == number).and_then(|p| p.zone.as_ref());
    let Some(zone) = zone else { return muscle.name.span };
    let place = gap.reason.place;
    let drawn = || zone.drawn.iter().flat_map(|d| d.core.iter().chain(&d.spread)).next().map(|o| o.span);
    written_at(&zone.core, place).or_else(|| written_at(&zone.spread, place)).or_else(drawn).unwrap_or(zone.span)
}

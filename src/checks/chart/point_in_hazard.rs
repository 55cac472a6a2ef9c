//! Points over a vessel, a nerve or another shipped hazard, without a word on it or with pressure that ignores it.

use crate::checks::{Case, Check, Run, Sink};
use crate::compute::chart::PointFacts;
use crate::finding::Level;
use crate::model::docs::{Muscle, Point};
use crate::model::region::{Place, Tag, regions};

/// The check.
pub static CHECK: Check = Check {
    name: "point-in-hazard",
    summary: "a point lies in a hazard region and does not say what is done about it",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("point_in_hazard.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, muscle) in case.catalog.muscles.iter() {
        for (point, facts) in muscle.points.iter().zip(&case.facts.chart.of(idx).points) {
            one(muscle, point, facts, sink);
        }
    }
}

fn one(muscle: &Muscle, point: &Point, facts: &PointFacts, sink: &mut Sink) {
    let words = point.region.all.iter().map(|p| (*p, point.region.written.first().map(|w| w.span)));
    let drawn = point.chart.iter().zip(&facts.marks).filter_map(|(mark, found)| found.place.map(|p| (p, Some(mark.at.span))));
    let Some((place, at, danger)) = words.chain(drawn).find_map(|(place, at)| hazard(place).map(|h| (place, at, h))) else { return };
    let said = point.hazard.as_ref().is_some_and(|h| !h.value.trim().is_empty());
    let presses = point.pressure.as_ref().is_some_and(|p| &*p.value == "into bone");
    let stops = point.stop.as_ref().is_some_and(|s| !s.value.trim().is_empty());
    if said && (!presses || stops) {
        return;
    }
    let name = place.shown().to_lowercase();
    let lacks = if said { "is pressed into bone there without a rule when to leave" } else { "says nothing about it" };
    let message = format!("point {} of {} lies in a hazard region ({name}) and {lacks}", point.number.value, muscle.name.value);
    let finding = sink.report(at.unwrap_or(point.number.span), danger, message);
    if let Some(pressure) = point.pressure.as_ref().filter(|_| presses) {
        finding.also(pressure.span, "this is how it is pressed");
    }
    if said {
        finding.help("add `stop:` with the sign at which the hand leaves at once, or press `lifted`, `along` or `across`");
    } else {
        finding.help("add `hazard:` with what lies there and what the hand does about it; lift the tissue or press across where you can");
    }
}

/// Why a place is a hazard.
fn hazard(place: Place) -> Option<String> {
    let region = regions().get(place.region);
    if let Some(hazard) = region.hazards.first() {
        return Some(hazard.text.clone());
    }
    let tags = [
        (Tag::Internal, "inside the body"),
        (Tag::MajorVessel, "a large vessel lies near"),
        (Tag::SuperficialNerve, "a nerve lies under the skin"),
    ];
    tags.iter().find(|(tag, _)| region.tags.contains(tag)).map(|(_, words)| (*words).to_string())
}

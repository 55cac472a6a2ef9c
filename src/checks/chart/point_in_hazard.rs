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
    let found = words.chain(drawn).map(|(place, at)| (place, at, hazards(place))).find(|(_, _, dangers)| !dangers.is_empty());
    let Some((place, at, dangers)) = found else { return };
    let said = point.hazard.as_ref().is_some_and(|h| answers(&h.value));
    let presses = point.pressure.as_ref().is_some_and(|p| &*p.value == "into bone");
    let stops = point.stop.as_ref().is_some_and(|s| !s.value.trim().is_empty());
    if said && (!presses || stops) {
        return;
    }
    let name = place.shown().to_lowercase();
    let lacks = if said { "is pressed into bone there without a rule when to leave" } else { "says nothing about it" };
    let message = format!("point {} of {} lies in a hazard region ({name}) and {lacks}", point.number.value, muscle.name.value);
    let finding = sink.report(at.unwrap_or(point.number.span), dangers.first().cloned().unwrap_or_default(), message);
    for other in dangers.iter().skip(1) {
        finding.note(format!("Also here: {other}"));
    }
    if let Some(empty) = point.hazard.as_ref().filter(|_| !said) {
        finding.also(empty.span, "this is no answer");
    }
    if let Some(pressure) = point.pressure.as_ref().filter(|_| presses) {
        finding.also(pressure.span, "this is how it is pressed");
    }
    if said {
        finding.help("add `stop:` with the sign at which the hand leaves at once, or press `lifted`, `along` or `across`");
    } else {
        finding.help("add `hazard:` with what lies there and what the hand does about it; lift the tissue or press across where you can");
    }
}

/// Words that stand for no answer.
const EMPTY: [&str; 8] = ["", "none", "nil", "no", "nothing", "n/a", "no hazard", "not known"];

fn answers(hazard: &str) -> bool {
    let plain = hazard.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
    !EMPTY.contains(&plain.as_str())
}

/// Why a place is a hazard: all that ships with the list, or else what its tags say.
fn hazards(place: Place) -> Vec<String> {
    let region = regions().get(place.region);
    if !region.hazards.is_empty() {
        return region.hazards.iter().map(|h| h.text.clone()).collect();
    }
    let tags = [
        (Tag::Internal, "inside the body"),
        (Tag::MajorVessel, "a large vessel lies near"),
        (Tag::SuperficialNerve, "a nerve lies under the skin"),
    ];
    tags.iter().filter(|(tag, _)| region.tags.contains(tag)).map(|(_, words)| (*words).to_string()).collect()
}

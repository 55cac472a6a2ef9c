//! The chart in words: caption and table. Who sees no picture loses nothing.

use super::{ChartView, Content, Row};
use crate::chart::chart;
use crate::compute::chart::cover::{Covered, coord, line};
use crate::compute::chart::sweep::{NEAR, SweepFacts};
use crate::model::Idx;
use crate::model::chart::ViewId;
use crate::model::docs::{Muscle, Point, Protocol, StepSweep, SweepFrom, SweepPath, USUAL_RADIUS};
use crate::plan::site::{Site, places};
use crate::plan::words::capital;
use geo::{Distance, Euclidean};

/// What the picture shows, in sentences.
pub(super) fn caption(content: &Content<'_>) -> Vec<String> {
    let mut out = vec![format!("Schematic figure of a person of {} cm.", chart().height)];
    if content.muscle.is_some() {
        out.push("The right side is drawn; a left side is its mirror image.".into());
    }
    if content.points.iter().any(|p| !p.chart.is_empty()) {
        out.push(format!(
            "A ring is where to look first, not a spot to hit: even one experienced examiner found points of the upper trapezius again \
             only within about {:.0} mm (Barbero 2012, doi:10.1179/2042618612Y.0000000010); that study looked at no other muscle.",
            USUAL_RADIUS * 10.0
        ));
    }
    if content.points.iter().any(|p| p.zone.is_some()) {
        out.push("Hatching is where pain may be felt, dense for the core and open for the spread. A number in a square names the point whose core it is. Hatching shows no disease and proves no muscle.".into());
    }
    if !content.sweeps.is_empty() {
        out.push("A dashed line with an arrow is a sweep in its direction.".into());
    }
    out
}

/// Adds the rows of a muscle.
pub(super) fn muscle(mut view: ChartView, site: &Site<'_>, id: Idx<Muscle>) -> ChartView {
    let muscle = &site.catalog.muscles[id];
    let facts = site.facts.chart.of(id);
    for (drawing, covered) in muscle.chart.iter().zip(&facts.drawings) {
        let parts: Vec<String> = covered.iter().filter(|c| c.counts()).map(covered_words).collect();
        view.rows.push(Row {
            what: format!("Muscle, {}", name(drawing.view.value)),
            is: format!("Covers {}.", parts.join(", ")),
            ground: Some(site.ground(&drawing.ground)),
        });
    }
    for end in &muscle.attachments {
        view.rows.push(Row { what: format!("Attachment, {}", end.end), is: end.text.value.to_string(), ground: None });
    }
    if let Some(fibres) = &muscle.fibres {
        view.rows.push(Row { what: "Fibres".into(), is: fibres.value.to_string(), ground: None });
    }
    for point in &muscle.points {
        view.rows.push(point_row(point));
        view.rows.extend(zone_rows(point));
    }
    view
}

fn covered_words(covered: &Covered) -> String {
    format!("{:.0} % of the region {}", covered.of_region * 100.0, covered.place.shown().to_lowercase())
}

fn name(view: ViewId) -> String {
    chart().view(view).map_or_else(String::new, |v| v.name.to_lowercase())
}

fn point_row(point: &Point) -> Row {
    let region = places(&point.region.all).join(", ");
    let landmark = crate::plan::view::muscle::landmark(point);
    let radius = point.chart.first().map(|m| format!("{:.0} mm", m.radius() * 10.0));
    let within = radius.map(|r| format!(" Ring of {r}.")).unwrap_or_default();
    Row { what: format!("Point {}", point.number.value), is: format!("{landmark}. Region: {region}.{within}"), ground: None }
}

fn zone_rows(point: &Point) -> Vec<Row> {
    let Some(zone) = &point.zone else { return Vec::new() };
    let row = |part: &str, all: &[crate::model::region::Place]| {
        (!all.is_empty()).then(|| Row {
            what: format!("Zone of point {}, {part}", point.number.value),
            is: format!("{}.", capital(&places(all).join(", "))),
            ground: None,
        })
    };
    [row("core", &zone.core.all), row("spread", &zone.spread.all)].into_iter().flatten().collect()
}

/// Adds the sweeps of a protocol, with what was computed of them.
pub(super) fn protocol(mut view: ChartView, site: &Site<'_>, id: Idx<Protocol>) -> ChartView {
    let muscle = site.catalog.protocols[id].muscle.to.map(|m| &site.catalog.muscles[m]);
    for (step, facts) in site.catalog.protocols[id].steps.iter().zip(&site.facts.of(id).steps) {
        if let (Some(sweep), Some(facts)) = (&step.sweep, &facts.sweep) {
            view.rows.push(Row { what: format!("Sweep, step {}", step.number.value), is: sweep_words(muscle, sweep, facts), ground: None });
        }
    }
    view
}

/// Where the lines start. Skin that is left out stands between a line and its attachment: then the words must not
/// send a thumb there.
fn start_words(muscle: Option<&Muscle>, sweep: &StepSweep) -> String {
    let (from, to) = match sweep.from.as_ref().map(|f| f.value) {
        Some(SweepFrom::Proximal) => ("proximal", "distal"),
        Some(SweepFrom::Distal) => ("distal", "proximal"),
        Some(SweepFrom::Either) | None => return String::new(),
    };
    let away = |path: &SweepPath| {
        let drawings = muscle.into_iter().flat_map(|m| &m.chart).filter(|d| d.view.value == path.view.value);
        let ends = drawings.flat_map(|d| if from == "distal" { &d.distal } else { &d.proximal });
        let start = path.path.points.first().map(|p| geo::Point::from(coord(p.value)));
        let gaps = start.into_iter().flat_map(|at| ends.clone().map(move |end| Euclidean.distance(&at, &line(end))));
        gaps.reduce(f64::min).is_some_and(|gap| gap > NEAR)
    };
    if !sweep.leaves_out.is_empty() && sweep.paths.iter().any(away) {
        format!(" from the edge of the part left out, towards the {to} attachment")
    } else {
        format!(" from the {from} attachment")
    }
}

fn sweep_words(muscle: Option<&Muscle>, sweep: &StepSweep, facts: &SweepFacts) -> String {
    let from = start_words(muscle, sweep);
    let lengths: Vec<String> = facts.paths.iter().map(|p| format!("{:.0} cm", p.length)).collect();
    let lines = if lengths.len() == 1 { "One line" } else { "Lines" };
    let mut out = format!("{lines}{from}, {} long, {:.0} cm wide.", lengths.join(", "), facts.width);
    let through: Vec<String> = facts.points.iter().filter(|(_, hit)| *hit).map(|(n, _)| n.to_string()).collect();
    if !through.is_empty() {
        out += &format!(" Through the ring of point {}.", through.join(" and "));
    }
    if let Some(share) = facts.core_share() {
        out += &format!(" Touches about {:.0} % of the core", share * 100.0);
        out += &facts.spread_share().map_or_else(|| ".".to_string(), |s| format!(" and {:.0} % of the spread.", s * 100.0));
    }
    for left in &sweep.leaves_out {
        out += &format!(" Left out: {}. {}", places(&left.region.all).join(", ").to_lowercase(), left.why.value);
    }
    out
}

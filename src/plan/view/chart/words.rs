//! The chart in words: caption and table. Who sees no picture loses nothing.

use super::{ChartView, Content, Row};
use crate::model::Idx;
use crate::model::chart::ViewId;
use crate::model::docs::{Muscle, Point, Protocol, StepSweep};
use crate::plan::site::{Site, places};
use crate::plan::words::capital;

/// What the picture shows, in sentences.
pub(super) fn caption(content: &Content<'_>) -> Vec<String> {
    let mut out = vec!["Schematic figure of a person of 170 cm.".to_string()];
    if content.muscle.is_some() {
        out.push("The right side is drawn; a left side is its mirror image.".into());
    }
    if content.points.iter().any(|p| !p.chart.is_empty()) {
        out.push(
            "A ring is where to look first, not a spot to hit: even one experienced examiner found a point again only within about 27 mm \
             (Barbero 2012, doi:10.1179/2042618612Y.0000000010)."
                .into(),
        );
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
    if !muscle.chart.is_empty() {
        let views: Vec<&str> = muscle.chart.iter().map(|d| name(d.view.value)).collect();
        let over = places(&muscle.regions.all);
        view.rows.push(Row {
            layer: "outline",
            what: "Muscle".into(),
            is: format!("Drawn in the view {}; lies under: {}.", views.join(" and "), over.join(", ")),
        });
    }
    for end in &muscle.attachments {
        view.rows.push(Row { layer: "attachment", what: format!("Attachment, {}", end.end), is: end.text.value.to_string() });
    }
    if let Some(fibres) = &muscle.fibres {
        view.rows.push(Row { layer: "fibre", what: "Fibres".into(), is: fibres.value.to_string() });
    }
    for point in &muscle.points {
        view.rows.push(point_row(point));
        view.rows.extend(zone_rows(point));
    }
    view
}

fn name(view: ViewId) -> &'static str {
    view.word()
}

fn point_row(point: &Point) -> Row {
    let region = places(&point.region.all).join(", ");
    let landmark = crate::plan::view::muscle::landmark(point);
    let radius = point.chart.first().map(|m| m.within.as_ref().map_or_else(|| "27 mm".to_string(), |w| w.value.shown()));
    let within = radius.map(|r| format!(" Ring of {r}.")).unwrap_or_default();
    Row { layer: "ring", what: format!("Point {}", point.number.value), is: format!("{landmark} Region: {region}.{within}") }
}

fn zone_rows(point: &Point) -> Vec<Row> {
    let Some(zone) = &point.zone else { return Vec::new() };
    let row = |layer: &'static str, part: &str, all: &[crate::model::region::Place]| {
        (!all.is_empty()).then(|| Row {
            layer,
            what: format!("Zone of point {}, {part}", point.number.value),
            is: format!("{}.", capital(&places(all).join(", "))),
        })
    };
    [row("core", "core", &zone.core.all), row("spread", "spread", &zone.spread.all)].into_iter().flatten().collect()
}

/// Adds the sweeps of a protocol.
pub(super) fn protocol(mut view: ChartView, site: &Site<'_>, id: Idx<Protocol>) -> ChartView {
    for step in &site.catalog.protocols[id].steps {
        if let Some(sweep) = &step.sweep {
            view.rows.push(Row { layer: "sweep", what: format!("Sweep, step {}", step.number.value), is: sweep_words(sweep) });
        }
    }
    view
}

fn sweep_words(sweep: &StepSweep) -> String {
    let from = sweep.from.as_ref().map(|f| format!(", from the {} attachment", f.value.word())).unwrap_or_default();
    let lines = match sweep.paths.len() {
        1 => "One line".to_string(),
        n => format!("{n} lines"),
    };
    let left: Vec<String> =
        sweep.leaves_out.iter().map(|l| format!("{} is left out: {}", capital(&places(&l.region.all).join(", ")), l.why.value)).collect();
    format!("{lines}{from}. {}", left.join(" ")).trim().to_string()
}

//! The chart of a page: the figure with outline, attachments, fibres, points, zones and sweeps on it,
//! its caption, and the same in words. Geometry is computed elsewhere; here it becomes paths.

pub mod figure;
mod panel;
mod signs;
mod words;

use super::parts::{GroundView, Link};
use crate::chart::chart;
use crate::compute::chart::zone::Alike;
use crate::model::chart::ViewId;
use crate::model::docs::{Muscle, Point, StepSweep, SweepPath};
use crate::model::region::{Place, RegionId, Side};
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc};
use serde::Serialize;

/// The chart of a page.
#[derive(Debug, Default, Serialize)]
pub struct ChartView {
    /// What can be shown and hidden, each with its word and its sign.
    pub layers: Vec<Layer>,
    /// The views, one picture each.
    pub panels: Vec<Panel>,
    /// What the picture shows, in sentences.
    pub caption: Vec<String>,
    /// The same as a table.
    pub rows: Vec<Row>,
}

/// A kind of thing on the chart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Layer {
    /// Word in class names.
    pub id: &'static str,
    /// Word on the page.
    pub name: &'static str,
}

/// A row of the text form.
#[derive(Debug, Clone, Serialize)]
pub struct Row {
    /// What it is.
    pub what: String,
    /// Where it is and what was computed.
    pub is: String,
    /// What a drawing rests on.
    pub ground: Option<GroundView>,
}

/// One view with what lies on it. Lengths are cm on the chart.
#[derive(Debug, Clone, Serialize)]
pub struct Panel {
    /// Name of the view.
    pub name: String,
    /// Word of the view.
    pub view: &'static str,
    /// Link to the figure.
    pub figure: String,
    /// Left, top, width and height of the figure.
    pub full: [f64; 4],
    /// Left, top, width and height of the part that is shown.
    pub window: [f64; 4],
    /// True if the picture is the mirror image of the drawing.
    pub flip: bool,
    /// Length by which signs are drawn: a sixtieth of the longer side of the window.
    pub unit: f64,
    /// Hatched shapes.
    pub zones: Vec<Hatched>,
    /// Hatchings used here.
    pub patterns: Vec<Pattern>,
    /// Outlines of muscles.
    pub outlines: Vec<String>,
    /// Attachments.
    pub attachments: Vec<String>,
    /// Fibres.
    pub fibres: Vec<String>,
    /// Sweeps.
    pub sweeps: Vec<String>,
    /// A small triangle on each sweep, pointing its way.
    pub arrows: Vec<String>,
    /// Points.
    pub rings: Vec<Ring>,
    /// Their numbers: in the middle, or aside where the edge of another ring would cross them.
    pub ring_numbers: Vec<Ring>,
    /// Numbers of the points in the cores that they refer to.
    pub zone_numbers: Vec<Ring>,
    /// Regions that are named on the chart: the place of a page.
    pub places: Vec<String>,
}

/// A hatched shape.
#[derive(Debug, Clone, Serialize)]
pub struct Hatched {
    /// `core` or `spread`.
    pub part: &'static str,
    /// Number of the point that refers here.
    pub point: u32,
    /// Path.
    pub path: String,
}

/// A hatching: its slant tells the points apart.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pattern {
    /// `core` or `spread`.
    pub part: &'static str,
    /// Number of the point.
    pub point: u32,
    /// Slant, degrees.
    pub slant: i32,
    /// Distance of the lines, cm.
    pub gap: f64,
}

/// A numbered ring.
#[derive(Debug, Clone, Serialize)]
pub struct Ring {
    /// Number.
    pub number: u32,
    /// Centre as it is seen.
    pub x: f64,
    /// Centre.
    pub y: f64,
    /// Radius in which the point may lie.
    pub radius: f64,
}

/// What a chart is made of, before it is laid out.
#[derive(Default)]
pub(crate) struct Content<'a> {
    muscle: Option<&'a Muscle>,
    points: Vec<&'a Point>,
    sweeps: Vec<(u32, &'a StepSweep)>,
    places: Vec<Place>,
    /// True if only the points themselves are drawn, not where they refer pain.
    without_zones: bool,
}

/// Panels for a card: the muscle with its points as numbered rings, without zones, in the views that show a point.
pub fn of_points(site: &Site<'_>, id: Idx<Muscle>) -> Vec<OnCard> {
    let muscle = &site.catalog.muscles[id];
    let content = Content { muscle: Some(muscle), points: muscle.points.iter().collect(), without_zones: true, ..Content::default() };
    let mut views: Vec<ViewId> = muscle.points.iter().flat_map(|p| &p.chart).map(|m| m.view.value).collect();
    views.sort_unstable();
    views.dedup();
    let panels = views.into_iter().filter_map(|v| Some((panel::panel(site, v, &content)?, figure::of(v)?)));
    panels.map(|(panel, drawing)| OnCard { panel, drawing }).collect()
}

/// A panel on a card, with the figure itself: a typesetter follows no link.
#[derive(Debug, Clone, Serialize)]
pub struct OnCard {
    /// What is drawn on the figure.
    pub panel: Panel,
    /// The figure.
    pub drawing: figure::Figure,
}

/// Chart of a muscle; `None` if nothing is drawn.
pub fn of_muscle(site: &Site<'_>, id: Idx<Muscle>) -> Option<ChartView> {
    let muscle = &site.catalog.muscles[id];
    lay_out(site, &Content { muscle: Some(muscle), points: muscle.points.iter().collect(), ..Content::default() })
        .map(|view| words::muscle(view, site, id))
}

/// Chart of a protocol: its muscle with the sweeps of its steps; `None` if nothing is drawn.
pub fn of_protocol(site: &Site<'_>, id: Idx<crate::model::docs::Protocol>) -> Option<ChartView> {
    let protocol = &site.catalog.protocols[id];
    let to = protocol.muscle.to?;
    let muscle = &site.catalog.muscles[to];
    let sweeps: Vec<(u32, &StepSweep)> = protocol.steps.iter().filter_map(|s| Some((s.number.value, s.sweep.as_ref()?))).collect();
    let content = Content { muscle: Some(muscle), points: muscle.points.iter().collect(), sweeps, ..Content::default() };
    let view = lay_out(site, &content)?;
    Some(words::protocol(words::muscle(view, site, to), site, id))
}

/// Where a region lies; `None` if it is in no view.
pub fn of_region(site: &Site<'_>, region: RegionId) -> Option<ChartView> {
    let side = if crate::model::region::regions().get(region).paired { Side::Same } else { Side::Midline };
    lay_out(site, &Content { places: vec![Place { region, side }], ..Content::default() })
}

/// Muscles whose zones look like this one's: link, what they share, and how to tell them apart if it is written.
pub fn look_alikes(site: &Site<'_>, id: Idx<Muscle>) -> Vec<(Link, String)> {
    let written = &site.catalog.muscles[id].look_alikes;
    let computed = site.facts.chart.look_alikes(id);
    let apart = |other: Idx<Muscle>| written.iter().find(|l| l.muscle.to == Some(other)).map(|l| l.tell_apart.value.to_string());
    let shared = |(other, alike): &(Idx<Muscle>, Alike)| {
        let words = format!("{:.0} % of the smaller core is common. {}", alike.of_smaller * 100.0, apart(*other).unwrap_or_default());
        (site.link(doc(Kind::Muscle, *other)), words)
    };
    let also = written.iter().filter_map(|l| l.muscle.to).filter(|m| !computed.iter().any(|(c, _)| c == m));
    let named = also.map(|m| (site.link(doc(Kind::Muscle, m)), apart(m).unwrap_or_default()));
    computed.iter().map(shared).chain(named).collect()
}

fn lay_out(site: &Site<'_>, content: &Content<'_>) -> Option<ChartView> {
    let views = views(content);
    let panels: Vec<Panel> = views.iter().filter_map(|v| panel::panel(site, *v, content)).collect();
    if panels.is_empty() {
        return None;
    }
    let layers = layers(&panels);
    Some(ChartView { layers, panels, caption: words::caption(content), rows: Vec::new() })
}

const LAYERS: [Layer; 7] = [
    Layer { id: "outline", name: "Muscle" },
    Layer { id: "attachment", name: "Attachments" },
    Layer { id: "fibre", name: "Fibres" },
    Layer { id: "ring", name: "Points" },
    Layer { id: "core", name: "Pain zone, core" },
    Layer { id: "spread", name: "Pain zone, spread" },
    Layer { id: "sweep", name: "Sweep" },
];

fn layers(panels: &[Panel]) -> Vec<Layer> {
    let has = |layer: &Layer| {
        panels.iter().any(|p| match layer.id {
            "outline" => !p.outlines.is_empty(),
            "attachment" => !p.attachments.is_empty(),
            "fibre" => !p.fibres.is_empty(),
            "ring" => !p.rings.is_empty(),
            "sweep" => !p.sweeps.is_empty(),
            part => p.zones.iter().any(|z| z.part == part),
        })
    };
    LAYERS.into_iter().filter(has).collect()
}

/// Views that are needed, in the order of the chart: those in which something is drawn, and for a zone that
/// none of them shows the view that shows most of it.
fn views(content: &Content<'_>) -> Vec<ViewId> {
    let mut needed: Vec<ViewId> = Vec::new();
    let mut add = |v: ViewId| {
        if !needed.contains(&v) {
            needed.push(v);
        }
    };
    content.muscle.iter().flat_map(|m| &m.chart).for_each(|d| add(d.view.value));
    content.points.iter().flat_map(|p| &p.chart).for_each(|m| add(m.view.value));
    content.points.iter().filter_map(|p| p.zone.as_ref()).flat_map(|z| &z.drawn).for_each(|d| add(d.view.value));
    content.sweeps.iter().flat_map(|(_, s)| &s.paths).for_each(|p: &SweepPath| add(p.view.value));
    let zones = content.points.iter().filter_map(|p| p.zone.as_ref()).flat_map(|z| z.core.all.iter().chain(&z.spread.all));
    for place in zones.chain(&content.places) {
        let shown = |v: &ViewId| chart().view(*v).is_some_and(|v| v.shape(place.region).is_some());
        if !needed.iter().any(shown) {
            needed.extend(best_view(place.region));
        }
    }
    if let Some(place) = content.places.first() {
        let other = chart().views.iter().filter(|v| v.shape(place.region).is_some()).map(|v| v.id);
        needed.extend(other.filter(|v| !needed.contains(v)).take(1).collect::<Vec<_>>());
    }
    needed.sort_unstable();
    needed.dedup();
    needed
}

/// The whole-body view that shows most of a region, or else any view.
fn best_view(region: RegionId) -> Option<ViewId> {
    let area = |v: &crate::chart::View| v.shape(region).map(|s| s.area);
    let whole = |v: &&crate::chart::View| matches!(v.id, ViewId::Front | ViewId::Back | ViewId::Side);
    let best = |views: Vec<&crate::chart::View>| {
        views.into_iter().filter_map(|v| Some((v.id, area(v)?))).max_by(|a, b| a.1.total_cmp(&b.1)).map(|(id, _)| id)
    };
    let (body, rest): (Vec<_>, Vec<_>) = chart().views.iter().partition(whole);
    best(body).or_else(|| best(rest))
}

//! Sweeps: the skin that a moving contact touches, what of the zone it covers, where it starts and ends,
//! and how it runs towards the fibres.

use super::cover::{area_of, coord, covered, line, place_shape, polygon, shape};
use crate::chart::chart;
use crate::model::chart::ViewId;
use crate::model::docs::{Muscle, MuscleDrawing, Point, StepSweep, SweepPath};
use crate::model::region::Place;
use geo::{Area, BooleanOps, Buffer, Contains, Distance, Euclidean, Intersects, Length, MultiPolygon, unary_union};

/// Contact width where none is stated, cm. Common practice, no source: about a thumb.
pub const WIDTH: f64 = 2.0;
/// How far from an attachment a line may start or end, cm. The limits of agreement of one examiner on a
/// point are about this wide (Barbero 2012: -27.0 to 26.4 mm).
pub const NEAR: f64 = 3.0;

/// What follows from the sweep of a step.
#[derive(Clone, Debug)]
pub struct SweepFacts {
    /// Contact width, cm.
    pub width: f64,
    /// Lines as written.
    pub paths: Vec<PathFacts>,
    /// Skin touched in each view.
    pub swaths: Vec<(ViewId, MultiPolygon)>,
    /// Places touched by more than an edge, sorted.
    pub places: Vec<Place>,
    /// Parts of the cores of the target points and how much of each is touched.
    pub core: Vec<Touched>,
    /// The same for the spread.
    pub spread: Vec<Touched>,
    /// Target points that are drawn in a view with a line, and whether a line passes through their circle.
    pub points: Vec<(u32, bool)>,
}

/// A part of a zone.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Touched {
    /// The place, if it is a word; a drawn outline has none.
    pub place: Option<Place>,
    /// Its area, cm2.
    pub area: f64,
    /// Share that the swath touches, in the view that shows most.
    pub share: f64,
}

/// What follows from one line.
#[derive(Clone, Debug, PartialEq)]
pub struct PathFacts {
    /// The view.
    pub view: ViewId,
    /// Length, cm.
    pub length: f64,
    /// Distances of its start from the attachments that the view shows.
    pub start: Ends,
    /// Distances of its end.
    pub end: Ends,
    /// Mean angle to the fibres where it runs over the muscle, degrees, 0 to 90.
    pub angle: Option<f64>,
    /// True if it ends over the muscle as drawn.
    pub ends_over: bool,
}

/// Distances from the attachments, cm.
#[derive(Copy, Clone, Debug, Default, PartialEq)]
pub struct Ends {
    /// From the proximal one.
    pub proximal: Option<f64>,
    /// From the distal one.
    pub distal: Option<f64>,
}

impl SweepFacts {
    /// Share of the core that is touched, by area; `None` if there is no core.
    pub fn core_share(&self) -> Option<f64> {
        share(&self.core)
    }

    /// Share of the spread that is touched, by area.
    pub fn spread_share(&self) -> Option<f64> {
        share(&self.spread)
    }
}

fn share(parts: &[Touched]) -> Option<f64> {
    let whole: f64 = parts.iter().map(|t| t.area).sum();
    (whole > 0.0).then(|| parts.iter().map(|t| t.area * t.share).sum::<f64>() / whole)
}

/// Computes a sweep over a muscle, aimed at these points.
pub fn facts(muscle: &Muscle, points: &[&Point], sweep: &StepSweep, width: f64) -> SweepFacts {
    let swaths = swaths(&sweep.paths, width);
    let mut places: Vec<Place> = Vec::new();
    for (view, swath) in &swaths {
        let Some(view) = chart().view(*view) else { continue };
        places.extend(covered(view, swath).iter().filter(|c| c.counts()).map(|c| c.place));
    }
    places.sort_unstable();
    places.dedup();
    let (mut core, mut spread) = (Vec::new(), Vec::new());
    for zone in points.iter().filter_map(|p| p.zone.as_ref()) {
        let (drawn_core, drawn_spread) = (zone.drawn.iter().any(|d| !d.core.is_empty()), zone.drawn.iter().any(|d| !d.spread.is_empty()));
        for drawing in &zone.drawn {
            core.extend((!drawing.core.is_empty()).then(|| touched_shape(&swaths, drawing.view.value, &shape(&drawing.core))));
            spread.extend((!drawing.spread.is_empty()).then(|| touched_shape(&swaths, drawing.view.value, &shape(&drawing.spread))));
        }
        core.extend(zone.core.all.iter().filter(|_| !drawn_core).map(|p| touched(&swaths, *p)));
        spread.extend(zone.spread.all.iter().filter(|_| !drawn_spread).map(|p| touched(&swaths, *p)));
    }
    SweepFacts {
        width,
        paths: sweep.paths.iter().map(|p| path(muscle, sweep, p)).collect(),
        places,
        core,
        spread,
        points: points.iter().filter_map(|p| Some((p.number.value, passes(p, &sweep.paths)?))).collect(),
        swaths,
    }
}

/// Skin touched in each view, in order of the views.
pub fn swaths(paths: &[SweepPath], width: f64) -> Vec<(ViewId, MultiPolygon)> {
    let mut out = Vec::new();
    for (view, _) in ViewId::ALL {
        let own: Vec<MultiPolygon> = paths.iter().filter(|p| p.view.value == view).map(|p| line(&p.path).buffer(width / 2.0)).collect();
        if !own.is_empty() {
            out.push((view, unary_union(own.iter().flat_map(MultiPolygon::iter))));
        }
    }
    out
}

fn touched(swaths: &[(ViewId, MultiPolygon)], place: Place) -> Touched {
    let mut best = Touched { place: Some(place), area: area_of(chart(), place), share: 0.0 };
    for (view, swath) in swaths {
        let Some(shape) = chart().view(*view).and_then(|v| place_shape(v, place)) else { continue };
        let area = shape.unsigned_area();
        let share = shape.intersection(swath).unsigned_area() / area;
        if share > best.share {
            best = Touched { area, share, ..best };
        }
    }
    best
}

fn touched_shape(swaths: &[(ViewId, MultiPolygon)], view: ViewId, shape: &MultiPolygon) -> Touched {
    let area = shape.unsigned_area();
    let swath = swaths.iter().find(|(v, _)| *v == view);
    let common = swath.map_or(0.0, |(_, s)| s.intersection(shape).unsigned_area());
    Touched { place: None, area, share: if area > 0.0 { common / area } else { 0.0 } }
}

/// Whether a line passes through the circle of a point; `None` if no line is in a view that shows it.
fn passes(point: &Point, paths: &[SweepPath]) -> Option<bool> {
    let mut seen = None;
    for mark in &point.chart {
        let radius = mark.radius();
        let at = geo::Point::from(coord(mark.at.value));
        for path in paths.iter().filter(|p| p.view.value == mark.view.value) {
            let hit = Euclidean.distance(&at, &line(&path.path)) <= radius;
            seen = Some(seen.unwrap_or(false) || hit);
        }
    }
    seen
}

fn path(muscle: &Muscle, sweep: &StepSweep, path: &SweepPath) -> PathFacts {
    let spared = spared(sweep, path.view.value);
    let drawing = muscle.chart.iter().find(|d| d.view.value == path.view.value);
    let written = line(&path.path);
    let ends = |at: Option<&geo::Coord>| match (drawing, at) {
        (Some(drawing), Some(at)) => ends(drawing, &spared, geo::Point::from(*at)),
        _ => Ends::default(),
    };
    PathFacts {
        view: path.view.value,
        length: Euclidean.length(&written),
        start: ends(written.0.first()),
        end: ends(written.0.last()),
        angle: drawing.and_then(|d| super::angle::mean(d, &written)),
        ends_over: over(drawing, written.0.last()),
    }
}

fn over(drawing: Option<&MuscleDrawing>, at: Option<&geo::Coord>) -> bool {
    let outline = drawing.and_then(|d| d.outline.as_ref());
    outline.zip(at).is_some_and(|(o, at)| polygon(o).contains(&geo::Point::from(*at)))
}

/// Regions that the sweep leaves out on purpose, as shapes of a view.
fn spared(sweep: &StepSweep, view: ViewId) -> Vec<MultiPolygon> {
    let view = chart().view(view);
    sweep.leaves_out.iter().flat_map(|l| &l.region.all).filter_map(|p| place_shape(view?, *p)).collect()
}

/// Where an attachment lies in skin that is left out, the edge of that skin stands for it.
fn ends(drawing: &MuscleDrawing, spared: &[MultiPolygon], at: geo::Point) -> Ends {
    let one = |attachment: &crate::model::chart::Line| {
        let attachment = line(attachment);
        let edges = spared.iter().filter(|s| s.intersects(&attachment)).map(|s| Euclidean.distance(&at, s));
        edges.fold(Euclidean.distance(&at, &attachment), f64::min)
    };
    let nearest = |lines: &[crate::model::chart::Line]| lines.iter().map(one).reduce(f64::min);
    Ends { proximal: nearest(&drawing.proximal), distal: nearest(&drawing.distal) }
}

/// Skin that two swaths share in one view, cm2.
pub fn shared(one: &[(ViewId, MultiPolygon)], two: &[(ViewId, MultiPolygon)]) -> f64 {
    let common = one.iter().flat_map(|(v, a)| two.iter().filter(move |(w, _)| v == w).map(move |(_, b)| a.intersection(b).unsigned_area()));
    common.fold(0.0, f64::max)
}

//! Sweeps: the skin that a moving contact touches, what of the zone it covers, where it starts and ends,
//! and how it runs towards the fibres.

use super::cover::{Covered, area_of, coord, covered, line, place_shape, polygon, shape};
use crate::chart::chart;
use crate::model::chart::{Outline, ViewId};
use crate::model::docs::{Muscle, MuscleDrawing, Point, StepSweep, SweepPath, Zone, ZoneDrawing};
use crate::model::region::Place;
use geo::{
    Area, BooleanOps, Buffer, Contains, Distance, Euclidean, Intersects, Length, LineString, MultiLineString, MultiPolygon, unary_union,
};
use std::collections::BTreeMap;

/// Contact width where none is stated, cm. Common practice, no source: about a thumb.
pub const WIDTH: f64 = 2.0;
/// How far from an attachment a line may start or end, cm. The limits of agreement of one examiner on a
/// point are about this wide (Barbero 2012: -27.0 to 26.4 mm).
pub const NEAR: f64 = 3.0;
/// A region counts as swept from this share of its area on, however long the sweep is. House practice of the tool.
pub const OF_REGION: f64 = 0.05;
/// ... or if the centre of one line lies in it for this length, cm. House practice of the tool.
const CENTRE: f64 = 2.0;

/// What follows from the sweep of a step.
#[derive(Clone, Debug)]
pub struct SweepFacts {
    /// Contact width, cm.
    pub width: f64,
    /// Lines as written.
    pub paths: Vec<PathFacts>,
    /// Places that count as swept, sorted.
    pub places: Vec<Place>,
    /// Places that the sweep is to leave out, and what it touches of each.
    pub spared: Vec<Spared>,
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
    /// The place; `None` only if it is drawn beside the body.
    pub place: Option<Place>,
    /// Area of the place, or of what is drawn of it, cm2.
    pub area: f64,
    /// Share that the swath touches, in the view that shows most.
    pub share: f64,
}

/// A place that a sweep is to leave out, in the view in which most of it is touched.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Spared {
    /// The place.
    pub place: Place,
    /// The row under `leaves-out`.
    pub row: usize,
    /// Share of its area that the swath touches.
    pub share: f64,
    /// Longest part of the centre of one line in it, cm.
    pub centre: f64,
    /// The line that goes deepest, or touches most, by row.
    pub path: usize,
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
    let (mut core, mut spread) = (Vec::new(), Vec::new());
    for zone in points.iter().filter_map(|p| p.zone.as_ref()) {
        core.extend(part(&swaths, zone, &zone.core.all, |d| &d.core));
        spread.extend(part(&swaths, zone, &zone.spread.all, |d| &d.spread));
    }
    SweepFacts {
        width,
        paths: sweep.paths.iter().map(|p| path(muscle, sweep, p)).collect(),
        places: places(&sweep.paths, &swaths),
        spared: leaves_out(sweep, width),
        core,
        spread,
        points: points.iter().filter_map(|p| Some((p.number.value, passes(p, &sweep.paths)?))).collect(),
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

/// The core or the spread of a zone: what is drawn of each place, and words for which nothing is drawn.
fn part<'z>(
    swaths: &[(ViewId, MultiPolygon)],
    zone: &'z Zone,
    words: &[Place],
    of: impl Fn(&'z ZoneDrawing) -> &'z [Outline],
) -> Vec<Touched> {
    let mut drawn: BTreeMap<Option<Place>, Touched> = BTreeMap::new();
    for drawing in &zone.drawn {
        let outlines = of(drawing);
        if outlines.is_empty() {
            continue;
        }
        for found in touched_drawing(swaths, drawing.view.value, &shape(outlines)) {
            let best = drawn.entry(found.place).or_insert(found);
            if found.share > best.share {
                *best = found;
            }
        }
    }
    let unseen = |word: &&Place| !drawn.keys().flatten().any(|d| d.meets(**word));
    let words: Vec<Touched> = words.iter().filter(unseen).map(|p| touched(swaths, *p)).collect();
    drawn.into_values().chain(words).collect()
}

/// What is drawn in one view, place by place.
fn touched_drawing(swaths: &[(ViewId, MultiPolygon)], view: ViewId, shape: &MultiPolygon) -> Vec<Touched> {
    let swath = swaths.iter().find(|(v, _)| *v == view).map(|(_, s)| s);
    let one = |place: Option<Place>, own: &MultiPolygon| {
        let area = own.unsigned_area();
        let common = swath.map_or(0.0, |s| s.intersection(own).unsigned_area());
        Touched { place, area, share: if area > 0.0 { common / area } else { 0.0 } }
    };
    let Some(seen) = chart().view(view) else { return Vec::new() };
    let places = covered(seen, shape).into_iter().filter(Covered::counts).filter_map(|c| Some((c.place, place_shape(seen, c.place)?)));
    let parts: Vec<Touched> = places.map(|(place, whole)| one(Some(place), &whole.intersection(shape))).collect();
    if parts.is_empty() { vec![one(None, shape)] } else { parts }
}

/// Places on which a sweep acts. The rule of drawings at rest would lose a region on a long sweep, which is a small
/// share of it, and a region that is itself large.
fn places(paths: &[SweepPath], swaths: &[(ViewId, MultiPolygon)]) -> Vec<Place> {
    let mut out: Vec<Place> = Vec::new();
    for (id, swath) in swaths {
        let Some(view) = chart().view(*id) else { continue };
        let lines: Vec<LineString> = paths.iter().filter(|p| p.view.value == *id).map(|p| line(&p.path)).collect();
        let long = |place| place_shape(view, place).is_some_and(|shape| lines.iter().any(|l| inside(&shape, l) >= CENTRE));
        let counts = |c: &Covered| c.of_region >= OF_REGION || c.counts() || long(c.place);
        out.extend(covered(view, swath).iter().filter(|c| counts(c)).map(|c| c.place));
    }
    out.sort_unstable();
    out.dedup();
    out
}

/// Length of a line in a shape, cm.
fn inside(shape: &MultiPolygon, line: &LineString) -> f64 {
    Euclidean.length(&shape.clip(&MultiLineString::new(vec![line.clone()]), false))
}

/// What is touched of each place that is to be left out, in order of the rows.
fn leaves_out(sweep: &StepSweep, width: f64) -> Vec<Spared> {
    let rows = sweep.leaves_out.iter().enumerate().flat_map(|(row, left)| left.region.all.iter().map(move |p| (row, *p)));
    rows.filter_map(|(row, place)| leaves_place(&sweep.paths, width, row, place)).collect()
}

fn leaves_place(paths: &[SweepPath], width: f64, row: usize, place: Place) -> Option<Spared> {
    let mut worst: Option<Spared> = None;
    for (view, swath) in swaths(paths, width) {
        let Some(shape) = chart().view(view).and_then(|v| place_shape(v, place)) else { continue };
        let share = shape.intersection(&swath).unsigned_area() / shape.unsigned_area();
        let own = paths.iter().enumerate().filter(|(_, p)| p.view.value == view).map(|(i, p)| {
            let line = line(&p.path);
            (inside(&shape, &line), shape.intersection(&line.buffer(width / 2.0)).unsigned_area(), i)
        });
        let Some((centre, _, path)) = own.max_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))) else { continue };
        let found = Spared { place, row, share, centre, path };
        if worst.is_none_or(|w| (share, centre) > (w.share, w.centre)) {
            worst = Some(found);
        }
    }
    worst
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

//! One view laid out: what is drawn on it, and the part of the figure that is worth showing.

use super::{Content, Hatched, Panel, Pattern, Ring, figure, signs};
use crate::chart::{View, chart};
use crate::model::chart::{Line, Outline, Point2, ViewId};
use crate::model::docs::{Point, PointMark, Zone};
use crate::model::region::{Place, Side};
use crate::plan::site::Site;
use geo::{Centroid, Coord, Rect};
use std::fmt::Write as _;

/// Free skin around what is drawn, cm.
const MARGIN: f64 = 4.0;
/// Least side of a window, cm: smaller, and nobody sees where on the body it lies.
const LEAST: f64 = 34.0;
/// Slants that tell the hatchings of points apart, degrees.
const SLANTS: [i32; 4] = [45, -45, 15, -75];

/// Lays one view out; `None` if the chart lacks it.
pub(super) fn panel(site: &Site<'_>, id: ViewId, content: &Content<'_>) -> Option<Panel> {
    let view = chart().view(id)?;
    let flip = figure::flipped_right(id);
    let midline = content.places.iter().any(|p| p.side == Side::Midline);
    let mut window = Window::default();
    let mut out = Panel {
        name: if midline { view.name.clone() } else { format!("{}, right side", view.name) },
        view: id.word(),
        figure: site.to(&figure::path(id)),
        full: corner(view.bounds.min().x, view.bounds.min().y, view.bounds.width(), view.bounds.height()),
        window: [0.0; 4],
        flip,
        unit: 1.0,
        zones: Vec::new(),
        patterns: Vec::new(),
        outlines: Vec::new(),
        attachments: Vec::new(),
        fibres: Vec::new(),
        sweeps: Vec::new(),
        arrows: Vec::new(),
        rings: Vec::new(),
        ring_numbers: Vec::new(),
        zone_numbers: Vec::new(),
        places: Vec::new(),
    };
    for drawing in content.muscle.iter().flat_map(|m| &m.chart).filter(|d| d.view.value == id) {
        out.outlines.extend(drawing.outline.iter().map(|o| window.outline(o)));
        out.attachments.extend(drawing.proximal.iter().chain(&drawing.distal).map(|l| window.line(l)));
        out.fibres.extend(drawing.fibres.iter().map(|l| window.line(l)));
    }
    for point in &content.points {
        if !content.without_zones {
            zones(view, point, &mut out, &mut window);
        }
        for mark in point.chart.iter().filter(|m| m.view.value == id) {
            out.rings.push(ring(point, mark, flip, &mut window));
        }
    }
    for (_, sweep) in &content.sweeps {
        out.sweeps.extend(sweep.paths.iter().filter(|p| p.view.value == id).map(|p| window.line(&p.path)));
    }
    for place in &content.places {
        out.places.extend(shapes(view, *place, &mut window).into_iter().map(|(path, _)| path));
    }
    let (x, y, width, height) = window.fitted(view)?;
    out.window = corner(if flip { -x - width } else { x }, y, width, height);
    out.unit = round(width.max(height) / 60.0);
    out.ring_numbers = signs::numbers(&out.rings, out.unit);
    let lines = content.sweeps.iter().flat_map(|(_, s)| &s.paths).filter(|p| p.view.value == id);
    out.arrows = signs::arrows(lines.map(|p| &p.path), &out.ring_numbers, flip, out.unit);
    out.zone_numbers = signs::set_aside(std::mem::take(&mut out.zone_numbers), &out.ring_numbers, out.unit);
    for pattern in &mut out.patterns {
        pattern.gap = round(out.unit * if pattern.part == "core" { 0.8 } else { 2.0 });
    }
    Some(out)
}

fn ring(point: &Point, mark: &PointMark, flip: bool, window: &mut Window) -> Ring {
    let (at, radius) = (mark.at.value, mark.radius());
    window.reach(at.x - radius, at.y - radius);
    window.reach(at.x + radius, at.y + radius);
    Ring { number: point.number.value, x: round(if flip { -at.x } else { at.x }), y: round(at.y), radius: round(radius) }
}

/// The zone of a point in this view: what is drawn, and the shape of each region that is only named. Each part of
/// the core that is hatched here gets the number of its point.
fn zones(view: &View, point: &Point, out: &mut Panel, window: &mut Window) {
    let Some(zone) = &point.zone else { return };
    let number = point.number.value;
    for (part, drawn, named) in [("spread", spread(zone, view.id), &zone.spread.all), ("core", core(zone, view.id), &zone.core.all)] {
        let hatched: Vec<(String, Option<Coord>)> = if drawn.is_empty() {
            named.iter().flat_map(|place| shapes(view, *place, window)).collect()
        } else {
            let middle = |o: &Outline| crate::compute::chart::cover::polygon(o).centroid().map(|p| p.0);
            drawn.iter().map(|o| (window.outline(o), middle(o))).collect()
        };
        if !hatched.is_empty() {
            let slant = SLANTS[number as usize % SLANTS.len()];
            out.patterns.push(Pattern { part, point: number, slant, gap: 0.0 });
        }
        for (path, middle) in hatched {
            out.zones.push(Hatched { part, point: number, path });
            let at = |c: Coord| Ring { number, x: round(if out.flip { -c.x } else { c.x }), y: round(c.y), radius: 0.0 };
            out.zone_numbers.extend(middle.filter(|_| part == "core").map(at));
        }
    }
}

fn core(zone: &Zone, view: ViewId) -> Vec<&Outline> {
    zone.drawn.iter().filter(|d| d.view.value == view).flat_map(|d| &d.core).collect()
}

fn spread(zone: &Zone, view: ViewId) -> Vec<&Outline> {
    zone.drawn.iter().filter(|d| d.view.value == view).flat_map(|d| &d.spread).collect()
}

/// Paths of a place in a view with their middles: one for each side that it means.
fn shapes(view: &View, place: Place, window: &mut Window) -> Vec<(String, Option<Coord>)> {
    let Some(shape) = view.shape(place.region) else { return Vec::new() };
    let mut out = Vec::new();
    let (least, most) = (shape.bounds.min(), shape.bounds.max());
    let middle = shape.shape.centroid().map(|p| p.0);
    if !matches!(place.side, Side::Other | Side::Left) {
        window.reach(least.x, least.y);
        window.reach(most.x, most.y);
        out.push((shape.path.clone(), middle));
    }
    if view.mirror && matches!(place.side, Side::Other | Side::Left | Side::Both) {
        window.reach(-most.x, least.y);
        window.reach(-least.x, most.y);
        out.push((figure::mirrored(shape), middle.map(|c| Coord { x: -c.x, y: c.y })));
    }
    out
}

/// The part of a view in which something is drawn.
#[derive(Default)]
struct Window {
    reach: Option<Rect>,
}

impl Window {
    fn reach(&mut self, x: f64, y: f64) {
        let at = Coord { x, y };
        let (least, most) = self.reach.map_or((at, at), |r| (r.min(), r.max()));
        self.reach = Some(Rect::new((least.x.min(x), least.y.min(y)), (most.x.max(x), most.y.max(y))));
    }

    fn line(&mut self, line: &Line) -> String {
        self.path(&line.points)
    }

    fn outline(&mut self, outline: &Outline) -> String {
        self.path(&outline.points) + "Z"
    }

    fn path(&mut self, points: &[crate::source::Spanned<Point2>]) -> String {
        let mut path = String::new();
        for (i, p) in points.iter().enumerate() {
            self.reach(p.value.x, p.value.y);
            let _ = write!(path, "{}{} {}", if i == 0 { "M" } else { "L" }, round(p.value.x), round(p.value.y));
        }
        path
    }

    /// Left, top, width, height with a margin, inside the view, and not too small to know the body by.
    fn fitted(&self, view: &View) -> Option<(f64, f64, f64, f64)> {
        let (reach, whole) = (self.reach?, view.bounds);
        let span = |low: f64, high: f64, least: f64, most: f64| {
            let side = (high - low + 2.0 * MARGIN).max(LEAST).min(most - least);
            let start = f64::midpoint(low, high) - side / 2.0;
            (start.max(least).min(most - side), side)
        };
        let (x, width) = span(reach.min().x, reach.max().x, whole.min().x, whole.max().x);
        let (y, height) = span(reach.min().y, reach.max().y, whole.min().y, whole.max().y);
        Some((x, y, width, height))
    }
}

fn corner(x: f64, y: f64, width: f64, height: f64) -> [f64; 4] {
    [round(x), round(y), round(width), round(height)]
}

pub(super) fn round(x: f64) -> f64 {
    (x * 100.0).round() / 100.0 + 0.0
}

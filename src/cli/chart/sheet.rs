//! The sheet: views side by side on a grid in cm, with what an author drew.
//!
//! Coordinates stand as they are written: x to the right is towards the treated side, in profile forwards,
//! on hand and foot towards thumb and big toe. Left and right people are not told apart here.

use crate::chart::{Stroke, View, chart};
use crate::compute::chart::cover::area_of;
use crate::model::chart::{Line, Outline, Point2, ViewId};
use crate::model::docs::{Muscle, Point};
use crate::model::region::{Place, Side};
use geo::{BoundingRect, Coord, Rect};
use std::fmt::Write as _;

/// Free grid round what is drawn, cm.
const MARGIN: f64 = 5.0;
/// Pixels for one cm on screen.
const SCALE: f64 = 12.0;
/// Space between views, cm.
const GAP: f64 = 4.0;
/// Space for the words below, cm.
const FOOT: f64 = 7.0;

const STYLE: &str = "\
text{font:1px sans-serif;fill:#222}.n{font-size:1.2px;font-weight:bold}.one{stroke:#d5d5d5;stroke-width:.03}.five{stroke:#999;stroke-width:.06}\
.zero{stroke:#555;stroke-width:.1}.edge{fill:none;stroke:#333;stroke-width:.2}.seam{fill:none;stroke:#888;stroke-width:.08}\
.belly{fill:none;stroke:#111;stroke-width:.25}.end{fill:none;stroke:#111;stroke-width:.6}.fibre{fill:none;stroke:#111;stroke-width:.1;stroke-dasharray:.5 .3}\
.ring{fill:none;stroke:#111;stroke-width:.18}.core{fill:url(#dense);stroke:none}.spread{fill:url(#open);stroke:none}";

/// A view without anything on it.
pub(super) fn bare(view: ViewId) -> String {
    let panels: Vec<Panel> = chart().view(view).map(|v| Panel { view: v, window: v.bounds, body: String::new() }).into_iter().collect();
    sheet(&format!("Body chart, {}", view.word()), &panels)
}

/// A muscle in every view that shows something of it; as on its page, a region that is named is drawn in each.
pub(super) fn muscle(muscle: &Muscle) -> String {
    let mut panels: Vec<Panel> = chart().views.iter().filter(|v| needed(v, muscle)).filter_map(|v| panel(v, muscle)).collect();
    if panels.is_empty() {
        // Nothing is drawn yet: the view that shows most of the skin over the muscle.
        let size = |v: &View| -> f64 { muscle.regions.all.iter().filter_map(|p| v.shape(p.region)).map(|s| s.area).sum() };
        let best = chart().views.iter().max_by(|a, b| size(a).total_cmp(&size(b)));
        panels.extend(best.map(|v| Panel { view: v, window: v.bounds, body: String::new() }));
    }
    sheet(&format!("{} on the body chart", muscle.name.value), &panels)
}

/// True if something is drawn in the view, or if it shows most of a region that is named.
fn needed(view: &View, muscle: &Muscle) -> bool {
    let zones = || muscle.points.iter().filter_map(|p| p.zone.as_ref());
    let most = |p: &Place| view.shape(p.region).is_some_and(|s| s.area >= area_of(chart(), *p));
    muscle.chart.iter().any(|d| d.view.value == view.id)
        || muscle.points.iter().flat_map(|p| &p.chart).any(|m| m.view.value == view.id)
        || zones().flat_map(|z| &z.drawn).any(|d| d.view.value == view.id)
        || zones().flat_map(|z| z.core.all.iter().chain(&z.spread.all)).any(most)
}

struct Panel {
    view: &'static View,
    window: Rect,
    body: String,
}

/// What is drawn in a view, and its box.
#[derive(Default)]
struct Drawn {
    out: String,
    least: Option<(Coord, Coord)>,
}

impl Drawn {
    fn reach(&mut self, at: Coord) {
        let (least, most) = self.least.unwrap_or((at, at));
        let (x, y) = ((least.x.min(at.x), most.x.max(at.x)), (least.y.min(at.y), most.y.max(at.y)));
        self.least = Some((Coord { x: x.0, y: y.0 }, Coord { x: x.1, y: y.1 }));
    }

    fn points<'p>(&mut self, class: &str, points: impl Iterator<Item = &'p Point2>, closed: bool) {
        let mut data = String::new();
        for p in points {
            let _ = write!(data, "{}{} {}", if data.is_empty() { "M" } else { "L" }, p.x, p.y);
            self.reach(Coord { x: p.x, y: p.y });
        }
        let _ = write!(self.out, "<path class=\"{class}\" d=\"{data}{}\"/>", if closed { "Z" } else { "" });
    }

    fn line(&mut self, class: &str, line: &Line) {
        self.points(class, line.points.iter().map(|p| &p.value), false);
    }

    fn outline(&mut self, class: &str, outline: &Outline) {
        self.points(class, outline.points.iter().map(|p| &p.value), true);
    }

    /// The region of a place, on the side that is meant; both where it may be either.
    fn place(&mut self, class: &str, view: &View, place: Place) {
        let Some(shape) = view.shape(place.region) else { return };
        let own = !matches!(place.side, Side::Other);
        let other = view.mirror && !matches!(place.side, Side::Same | Side::Midline);
        for flip in [own.then_some(""), other.then_some(" transform=\"scale(-1 1)\"")].into_iter().flatten() {
            let _ = write!(self.out, "<path class=\"{class}\" d=\"{}\"{flip}/>", shape.path);
            let Some(bounds) = shape.shape.bounding_rect() else { continue };
            let sign = if flip.is_empty() { 1.0 } else { -1.0 };
            self.reach(Coord { x: bounds.min().x * sign, y: bounds.min().y });
            self.reach(Coord { x: bounds.max().x * sign, y: bounds.max().y });
        }
    }

    fn zone(&mut self, view: &View, point: &Point) {
        let Some(zone) = &point.zone else { return };
        for (class, places) in [("spread", &zone.spread.all), ("core", &zone.core.all)] {
            places.iter().for_each(|p| self.place(class, view, *p));
        }
        for drawing in zone.drawn.iter().filter(|d| d.view.value == view.id) {
            drawing.spread.iter().for_each(|o| self.outline("spread", o));
            drawing.core.iter().for_each(|o| self.outline("core", o));
        }
    }

    fn ring(&mut self, view: &View, point: &Point) {
        for mark in point.chart.iter().filter(|m| m.view.value == view.id) {
            let (at, radius) = (mark.at.value, mark.radius());
            let _ = write!(self.out, "<circle class=\"ring\" cx=\"{}\" cy=\"{}\" r=\"{radius}\"/>", at.x, at.y);
            let _ = write!(
                self.out,
                "<text class=\"n\" x=\"{}\" y=\"{}\" text-anchor=\"middle\">{}</text>",
                at.x,
                at.y + 0.4,
                point.number.value
            );
            self.reach(Coord { x: at.x - radius, y: at.y - radius });
            self.reach(Coord { x: at.x + radius, y: at.y + radius });
        }
    }
}

fn panel(view: &'static View, muscle: &Muscle) -> Option<Panel> {
    let mut drawn = Drawn::default();
    muscle.points.iter().for_each(|p| drawn.zone(view, p));
    for drawing in muscle.chart.iter().filter(|d| d.view.value == view.id) {
        drawing.outline.iter().for_each(|o| drawn.outline("belly", o));
        drawing.fibres.iter().for_each(|l| drawn.line("fibre", l));
        drawing.proximal.iter().chain(&drawing.distal).for_each(|l| drawn.line("end", l));
    }
    muscle.points.iter().for_each(|p| drawn.ring(view, p));
    let (least, most) = drawn.least?;
    let (low, high) = (view.bounds.min(), view.bounds.max());
    let window = Rect::new(
        Coord { x: (least.x - MARGIN).max(low.x).floor(), y: (least.y - MARGIN).max(low.y).floor() },
        Coord { x: (most.x + MARGIN).min(high.x).ceil(), y: (most.y + MARGIN).min(high.y).ceil() },
    );
    Some(Panel { view, window, body: drawn.out })
}

fn sheet(title: &str, panels: &[Panel]) -> String {
    let width: f64 = panels.iter().map(|p| p.window.width() + GAP).sum::<f64>() + GAP;
    let height = panels.iter().map(|p| p.window.height()).fold(0.0, f64::max) + GAP + FOOT;
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" width=\"{}\" height=\"{}\">\n<title>{}</title>\n<style>{STYLE}</style>\n",
        (width * SCALE).round(),
        (height * SCALE).round(),
        escaped(title)
    );
    out += "<defs><pattern id=\"dense\" width=\".6\" height=\".6\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><path d=\"M0 0V.6\" stroke=\"#555\" stroke-width=\".16\"/></pattern><pattern id=\"open\" width=\"1.4\" height=\"1.4\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><path d=\"M0 0V1.4\" stroke=\"#777\" stroke-width=\".1\"/></pattern></defs>\n";
    let mut left = GAP;
    for (i, panel) in panels.iter().enumerate() {
        let (x, y) = (left - panel.window.min().x, GAP - panel.window.min().y);
        let (corner, size) = (panel.window.min(), (panel.window.width(), panel.window.height()));
        let _ = writeln!(
            out,
            "<clipPath id=\"w{i}\"><rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/></clipPath>",
            corner.x, corner.y, size.0, size.1
        );
        let _ = writeln!(
            out,
            "<g transform=\"translate({x} {y})\">\n{}<g clip-path=\"url(#w{i})\">{}{}</g></g>",
            grid(panel),
            figure(panel.view),
            panel.body
        );
        left += size.0 + GAP;
    }
    let words = [
        format!("{}: cm on a person of {} cm.", escaped(title), chart().height),
        "x as written: to the right towards the treated side".into(),
        "(in profile the front, on hand and foot thumb and big toe).".into(),
        "For trained practitioners; defers to local rules and licensed practice.".into(),
    ];
    for (line, y) in words.iter().zip([5.0, 3.6, 2.2, 0.8]) {
        let _ = writeln!(out, "<text x=\"{GAP}\" y=\"{}\">{line}</text>", height - y);
    }
    out += "</svg>\n";
    out
}

/// Lines at every cm, heavier at every fifth, with their numbers.
fn grid(panel: &Panel) -> String {
    let (least, most) = (panel.window.min(), panel.window.max());
    let mut out = format!("<text class=\"n\" x=\"{}\" y=\"{}\">{}</text>", least.x, least.y - 2.0, escaped(&panel.view.name));
    let mut mark = |at: f64, across: bool| {
        let five = at.rem_euclid(5.0) < 0.01;
        let class = if at.abs() < 0.01 {
            "zero"
        } else if five {
            "five"
        } else {
            "one"
        };
        let (line, label) = if across {
            (format!("M{at} {}V{}", least.y, most.y), (at, least.y - 0.4, "middle"))
        } else {
            (format!("M{} {at}H{}", least.x, most.x), (least.x - 0.3, at + 0.35, "end"))
        };
        let _ = write!(out, "<path class=\"{class}\" d=\"{line}\"/>");
        if five {
            let _ = write!(out, "<text x=\"{}\" y=\"{}\" text-anchor=\"{}\">{at}</text>", label.0, label.1, label.2);
        }
    };
    whole(least.x, most.x).for_each(|x| mark(x, true));
    whole(least.y, most.y).for_each(|y| mark(y, false));
    out
}

/// Whole numbers from the one to the other.
fn whole(from: f64, to: f64) -> impl Iterator<Item = f64> {
    let first = from.ceil();
    (0..1000).map(move |i| first + f64::from(i)).take_while(move |v| *v <= to)
}

/// The figure of a view, both halves.
fn figure(view: &View) -> String {
    let mut half = String::new();
    for arc in &view.arcs {
        let class = if arc.stroke == Stroke::Outline { "edge" } else { "seam" };
        let _ = write!(half, "<path class=\"{class}\" d=\"{}\"/>", arc.path);
    }
    for detail in &view.details {
        let _ = write!(half, "<path class=\"seam\" d=\"{detail}\"/>");
    }
    if view.mirror { format!("{half}<g transform=\"scale(-1 1)\">{half}</g>") } else { half }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

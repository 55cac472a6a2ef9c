//! Geometry on the body chart: coordinates, lines, outlines, sweeps.
//!
//! What cannot be read, leaves its view or crosses itself is reported here at the very coordinates. Later
//! stages do not see it, nor the rest of the same drawing, so that one slip gives one finding.

use super::Reader;
use crate::chart::chart;
use crate::model::chart::{Line, Outline, Point2, ViewId, area, crossing, parse_points};
use crate::model::docs::{
    Amount, Course, LeftOut, LookAlike, MuscleDrawing, PointMark, RADIUS_BOUNDS, StepSweep, SweepFrom, SweepPath, SweepRule, ZoneDrawing,
};
use crate::model::nearest;
use crate::model::unit::Dim;
use crate::source::{Node, NodeKind, Spanned};

const NUMBERS: &str = "write `x y, x y` in cm, plain decimal numbers, two for each point; `fascicle chart` draws a grid to read them from";

/// Least area of an outline, cm2. House practice of the tool: less is a line.
const LEAST_AREA: f64 = 0.1;

pub(super) fn muscle(r: &mut Reader<'_>, n: &Node) -> Vec<MuscleDrawing> {
    let mut out: Vec<MuscleDrawing> = Vec::new();
    for x in r.items(n, "chart") {
        let Some(view) = view(r, x) else { continue };
        if twice(r, "the muscle", out.iter().map(|d| &d.view), &view) {
            continue;
        }
        let found = r.findings.len();
        let ends = x.get("attachments");
        let mut drawing = MuscleDrawing {
            outline: outlines(r, x, "outline", view.value).pop(),
            proximal: ends.map(|e| lines(r, e, "proximal", view.value)).unwrap_or_default(),
            distal: ends.map(|e| lines(r, e, "distal", view.value)).unwrap_or_default(),
            fibres: lines(r, x, "fibres", view.value),
            ground: r.ground(x),
            unread: false,
            span: x.span,
            view,
        };
        if r.findings.len() > found {
            drawing =
                MuscleDrawing { outline: None, proximal: Vec::new(), distal: Vec::new(), fibres: Vec::new(), unread: true, ..drawing };
        }
        out.push(drawing);
    }
    out
}

pub(super) fn point(r: &mut Reader<'_>, n: &Node) -> Vec<PointMark> {
    let mut out: Vec<PointMark> = Vec::new();
    for x in r.items(n, "chart") {
        let within = within(r, x);
        let Some(view) = view(r, x) else { continue };
        if twice(r, "the point", out.iter().map(|m| &m.view), &view) {
            continue;
        }
        let Some(node) = x.get("at") else { continue };
        let Some(points) = points(r, node, view.value) else { continue };
        if let [at] = &*points {
            out.push(PointMark { view, at: Spanned::new(at.value, node.span), within });
        } else {
            let message = format!("a palpation point is one place, and {} are written", points.len());
            r.report("coordinates-unreadable", node.span, "one point here", message).help("write `x y`");
        }
    }
    out
}

/// Reports a second drawing in one view.
fn twice<'a>(r: &mut Reader<'_>, what: &str, mut known: impl Iterator<Item = &'a Spanned<ViewId>>, view: &Spanned<ViewId>) -> bool {
    let Some(first) = known.find(|k| k.value == view.value) else { return false };
    let message = format!("{what} is drawn twice in the view `{}`", view.value.word());
    r.report("drawn-twice", view.span, "drawn again", message)
        .also(first.span, "drawn first")
        .help("keep the one that is right, or correct the view of the other");
    true
}

/// Radius in which a point may lie.
fn within(r: &mut Reader<'_>, n: &Node) -> Option<Amount> {
    let within = r.amount(n, "within", Dim::Length)?;
    let (base, (least, most)) = (within.value.base(), RADIUS_BOUNDS);
    if base.lo >= least && base.hi <= most {
        return Some(within);
    }
    r.report(
        "number-out-of-bounds",
        within.span,
        "not possible",
        "the circle of a point is no smaller than a fingertip's aim and no larger than a hand",
    )
    .note("A slip of the finger is often a factor of ten.")
    .help(format!("write a radius from {} to {} mm; 27 mm holds if none is written", least * 1000.0, most * 1000.0));
    None
}

pub(super) fn zone(r: &mut Reader<'_>, n: &Node) -> Vec<ZoneDrawing> {
    let mut out = Vec::new();
    for x in r.items(n, "drawn") {
        let Some(view) = view(r, x) else { continue };
        let found = r.findings.len();
        let (core, spread) = (outlines(r, x, "core", view.value), outlines(r, x, "spread", view.value));
        if r.findings.len() == found {
            out.push(ZoneDrawing { view, core, spread, span: x.span });
        }
    }
    out
}

pub(super) fn look_alikes(r: &Reader<'_>, n: &Node) -> Vec<LookAlike> {
    r.items(n, "look-alikes").iter().map(|x| LookAlike { muscle: r.reference(x, "muscle"), tell_apart: r.text(x, "tell-apart") }).collect()
}

pub(super) fn sweep_rule(r: &Reader<'_>, n: &Node) -> Option<SweepRule> {
    let x = n.get("sweep")?;
    let along = r.maybe(x, "along")?;
    Some(SweepRule {
        from: sweep_from(r, x)?,
        along: Spanned::new(Course::from_word(&along.value)?, along.span),
        ground: r.ground(x),
        span: x.span,
    })
}

fn sweep_from(r: &Reader<'_>, n: &Node) -> Option<Spanned<SweepFrom>> {
    let word = r.maybe(n, "from")?;
    SweepFrom::from_word(&word.value).map(|f| Spanned::new(f, word.span))
}

pub(super) fn step_sweep(r: &mut Reader<'_>, n: &Node) -> Option<StepSweep> {
    let (key, x) = n.entry("sweep")?;
    let found = r.findings.len();
    let mut paths = Vec::new();
    for p in r.items(x, "paths") {
        let Some(view) = view(r, p) else { continue };
        paths.extend(lines(r, p, "path", view.value).into_iter().map(|path| SweepPath { view: view.clone(), path }));
    }
    let mut leaves_out = Vec::new();
    for l in r.items(x, "leaves-out") {
        leaves_out.push(LeftOut { region: r.places(l, "region"), why: r.text(l, "why") });
    }
    if r.findings.len() > found {
        return None;
    }
    Some(StepSweep { from: sweep_from(r, x), paths, leaves_out, span: key.span })
}

fn view(r: &mut Reader<'_>, n: &Node) -> Option<Spanned<ViewId>> {
    let word = r.maybe(n, "view")?;
    if let Some(view) = ViewId::from_word(&word.value) {
        return Some(Spanned::new(view, word.span));
    }
    let near = nearest(&word.value, ViewId::ALL.iter().map(|(_, w)| *w));
    let label = near.map_or_else(|| "not on the list".into(), |n| format!("did you mean `{n}`?"));
    let list = ViewId::ALL.map(|(_, w)| w).join(", ");
    r.report("link-missing", word.span, label, format!("the body chart has no view `{}`", word.value)).help(format!("write one of {list}"));
    None
}

/// One text, or a list of texts.
fn each<'n>(n: &'n Node, key: &str) -> &'n [Node] {
    match n.get(key) {
        Some(node) => match &node.kind {
            NodeKind::Seq(items) => items,
            _ => std::slice::from_ref(node),
        },
        None => &[],
    }
}

fn lines(r: &mut Reader<'_>, n: &Node, key: &str, view: ViewId) -> Vec<Line> {
    let mut out = Vec::new();
    for node in each(n, key) {
        let Some(points) = points(r, node, view) else { continue };
        if enough(r, node, points.len(), 2, "a line") {
            out.push(Line { points, span: node.span });
        }
    }
    out
}

fn outlines(r: &mut Reader<'_>, n: &Node, key: &str, view: ViewId) -> Vec<Outline> {
    let mut out = Vec::new();
    for node in each(n, key) {
        let Some(points) = points(r, node, view) else { continue };
        if !enough(r, node, points.len(), 3, "an outline") {
            continue;
        }
        let plain: Vec<Point2> = points.iter().map(|p| p.value).collect();
        if area(&plain) < LEAST_AREA && crossing(&plain).is_none() {
            r.report("outline-crosses-itself", node.span, "encloses next to nothing", format!("the {key} falls back on itself"))
                .note(format!("It encloses less than {LEAST_AREA} cm2, so nothing can lie in it."))
                .help("write the points in the order in which a pen would go round; three points on one line are no outline");
            continue;
        }
        match crossing(&plain).and_then(|(i, j)| Some((points.get(i)?.span, points.get(j)?.span))) {
            None => out.push(Outline { points, span: node.span }),
            Some((one, two)) => {
                r.report("outline-crosses-itself", two, "the side that starts here", format!("the {key} crosses or touches itself"))
                    .also(one, "and the side that starts here meet")
                    .note("What lies inside such an outline is not known, so nothing on it can be checked.")
                    .help("write the points in the order in which a pen would go round, each once; the last is joined to the first");
            }
        }
    }
    out
}

fn enough(r: &mut Reader<'_>, node: &Node, given: usize, least: usize, what: &str) -> bool {
    if given >= least {
        return true;
    }
    let message = format!("{what} needs at least {least} points, and {given} {} written", if given == 1 { "is" } else { "are" });
    r.report("coordinates-unreadable", node.span, "too few points", message).help(NUMBERS);
    false
}

/// Points of a text, each where it stands; `None` if one cannot be read or leaves the view.
fn points(r: &mut Reader<'_>, node: &Node, view: ViewId) -> Option<Vec<Spanned<Point2>>> {
    let written = node.text()?;
    let read = match parse_points(written) {
        Ok(read) => read,
        Err(error) => {
            let found = written.get(error.at.clone()).unwrap_or_default();
            let message = match found {
                "" => "a point is missing in these coordinates".to_string(),
                found => format!("`{}` cannot be read as coordinates", shorten(found)),
            };
            let at = r.part(node, written, error.at);
            r.report("coordinates-unreadable", at, error.what, message).help(NUMBERS);
            return None;
        }
    };
    let mut points = Vec::new();
    for (point, at) in read {
        points.push(Spanned::new(point, r.part(node, written, at)));
    }
    on_chart(r, &points, view).then_some(points)
}

fn shorten(text: &str) -> String {
    if text.chars().count() > 40 { format!("{}…", text.chars().take(40).collect::<String>()) } else { text.into() }
}

fn on_chart(r: &mut Reader<'_>, points: &[Spanned<Point2>], view: ViewId) -> bool {
    let Some(bounds) = chart().view(view).map(|v| v.bounds) else { return true };
    let (least, most) = (bounds.min(), bounds.max());
    let off = |p: &Point2| p.x < least.x || p.x > most.x || p.y < least.y || p.y > most.y;
    let Some(first) = points.iter().find(|p| off(&p.value)) else { return true };
    let message = format!("`{} {}` is not on the view `{}`", first.value.x, first.value.y, view.word());
    r.report("coordinates-off-chart", first.span, "off the chart", message)
        .note("x is cm towards the treated side (front, thumb, big toe), y is cm from the top of the head (wrist, heel).")
        .help(format!("x runs from {} to {}, y from {} to {}", least.x, most.x, least.y, most.y));
    false
}

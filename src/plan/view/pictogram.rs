//! The small figure in the corner of a card: the body in outline and the treated muscle in black, so that two cards
//! are told apart from a distance. The chart with points and areas is `chart`.

use crate::chart::{View, chart, mirrored};
use crate::compute::chart::cover::polygon;
use crate::model::Idx;
use crate::model::chart::ViewId;
use crate::model::docs::Muscle;
use crate::plan::site::Site;
use crate::plan::view::chart::figure::flipped_right;
use geo::{BoundingRect, MultiPolygon, Polygon, Simplify, unary_union};
use serde::Serialize;
use std::fmt::Write as _;
use std::sync::LazyLock;

/// Views that show the whole body, the first that has the muscle is taken.
const WHOLE: [ViewId; 3] = [ViewId::Back, ViewId::Front, ViewId::Side];
/// Detail of the body that is lost in a figure of 17 mm, cm.
const COARSE: f64 = 0.5;
/// The same of a muscle.
const FINE: f64 = 0.25;

/// One figure.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Pictogram {
    /// `viewBox` of an SVG: left, top, width, height, cm.
    pub window: String,
    /// The body as SVG path data, to be filled: in an outline fingers would run into a black spot, as if they were meant.
    pub body: String,
    /// The muscles as SVG path data.
    pub marked: String,
    /// The same in words.
    pub words: String,
}

struct Body {
    view: ViewId,
    window: String,
    path: String,
}

static BODIES: LazyLock<Vec<Body>> = LazyLock::new(|| WHOLE.iter().filter_map(|id| chart().view(*id)).filter_map(body).collect());

fn body(view: &View) -> Option<Body> {
    let own = view.regions.iter().flat_map(|s| s.shape.0.iter().cloned());
    let other = view.regions.iter().filter(|_| view.mirror).flat_map(|s| mirrored(&s.shape).0);
    let whole = unary_union(&own.chain(other).collect::<Vec<Polygon>>());
    // Of each piece the outer edge alone.
    let edge = MultiPolygon::new(whole.0.into_iter().map(|p| Polygon::new(p.exterior().simplify(COARSE), Vec::new())).collect());
    let box_of = edge.bounding_rect()?;
    let window =
        format!("{:.0} {:.0} {:.0} {:.0}", box_of.min().x - 2.0, box_of.min().y - 2.0, box_of.width() + 4.0, box_of.height() + 4.0);
    Some(Body { view: view.id, window, path: path(&edge) })
}

fn path(shape: &MultiPolygon) -> String {
    let mut out = String::new();
    for ring in shape.0.iter().map(Polygon::exterior) {
        for (i, c) in ring.0.iter().enumerate() {
            let _ = write!(out, "{}{:.1} {:.1}", if i == 0 { "M" } else { "L" }, c.x, c.y);
        }
        out.push('Z');
    }
    out
}

/// A muscle as its card treats it: the muscle and the side as it is written.
pub type Treated<'a> = (Idx<Muscle>, &'a str);

/// One figure for each view that is needed to show all of them; muscles that no view of the whole body shows are left out.
pub fn of(site: &Site<'_>, treated: &[Treated<'_>]) -> Vec<Pictogram> {
    let mut out = Vec::new();
    for body in BODIES.iter() {
        let shown: Vec<&Treated<'_>> = treated.iter().filter(|(m, _)| seen_from(&site.catalog.muscles[*m]) == Some(body.view)).collect();
        if shown.is_empty() {
            continue;
        }
        let shapes = shown.iter().flat_map(|(m, side)| belly(&site.catalog.muscles[*m], body.view, side)).collect();
        let names: Vec<&str> = shown.iter().map(|(m, _)| &*site.catalog.muscles[*m].name.value).collect();
        let words = format!("Figure, {}: {}", body.view.word(), names.join(", "));
        out.push(Pictogram { window: body.window.clone(), body: body.path.clone(), marked: path(&MultiPolygon::new(shapes)), words });
    }
    out
}

/// The first of the whole views in which the muscle is drawn.
fn seen_from(muscle: &Muscle) -> Option<ViewId> {
    WHOLE.into_iter().find(|v| muscle.chart.iter().any(|d| d.view.value == *v && d.outline.is_some()))
}

fn belly(muscle: &Muscle, view: ViewId, side: &str) -> Vec<Polygon> {
    let outlines = muscle.chart.iter().filter(|d| d.view.value == view).filter_map(|d| d.outline.as_ref());
    let own = MultiPolygon::new(outlines.map(polygon).map(|p| p.simplify(FINE)).collect());
    if !chart().view(view).is_some_and(|v| v.mirror) {
        return own.0;
    }
    // The drawing is the treated side; a side that is not known yet is shown on both.
    let other = mirrored(&own);
    match side {
        "left" if flipped_right(view) => own.0,
        "right" if flipped_right(view) => other.0,
        "left" => other.0,
        "right" | "midline" => own.0,
        _ => own.0.into_iter().chain(other.0).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::decode::Document;
    use crate::model::Kind;

    fn muscle() -> Muscle {
        let text = "id: x\nname: X\nchart:\n  - {view: back, outline: \"6 130, 12 130, 12 150, 6 150\", basis: common practice}\n";
        match crate::compute::testing::document(Kind::Muscle, text) {
            Document::Muscle(muscle) => *muscle,
            _ => unreachable!("a muscle was decoded"),
        }
    }

    #[test]
    fn bodies_are_closed_and_coarse() {
        assert_eq!(BODIES.iter().map(|b| b.view).collect::<Vec<_>>(), WHOLE);
        for body in BODIES.iter() {
            assert!(body.path.ends_with('Z') && body.path.len() < 3000, "{}: {}", body.view.word(), body.path.len());
        }
    }

    #[test]
    fn a_right_side_lies_on_the_right_of_a_back_and_a_side_to_be_said_on_both() {
        let muscle = muscle();
        assert_eq!(seen_from(&muscle), Some(ViewId::Back));
        let sides = |side: &str| {
            let centres: Vec<bool> =
                belly(&muscle, ViewId::Back, side).iter().filter_map(BoundingRect::bounding_rect).map(|r| r.min().x > 0.0).collect();
            centres
        };
        for (side, right) in [("right", vec![true]), ("left", vec![false]), ("either", vec![true, false]), ("both", vec![true, false])] {
            assert_eq!(sides(side), right, "{side}");
        }
    }
}

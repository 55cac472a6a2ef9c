//! The figure itself: one picture of each view, drawn once and used by every page.

use crate::chart::{Shape, Stroke, View, chart, mirrored as other_half};
use crate::model::chart::ViewId;
use serde::Serialize;
use std::fmt::Write as _;

/// View of `figure.svg`.
#[derive(Debug, Clone, Serialize)]
pub struct Figure {
    /// Name of the view.
    pub name: String,
    /// Left, top, width, height, cm.
    pub window: [f64; 4],
    /// True if the other half is the mirror image.
    pub mirror: bool,
    /// The skin.
    pub skin: String,
    /// Borders of regions.
    pub seams: String,
    /// The edge of the body.
    pub edge: String,
    /// Lines that are only drawn.
    pub details: String,
}

/// Path of a view's picture in the site.
pub fn path(view: ViewId) -> String {
    format!("assets/figure-{}.svg", view.word())
}

/// One picture for each view of the chart.
pub fn all() -> Vec<(String, Figure)> {
    chart().views.iter().map(|v| (path(v.id), figure(v))).collect()
}

/// The picture of a view.
pub fn of(view: ViewId) -> Option<Figure> {
    chart().view(view).map(figure)
}

fn figure(view: &View) -> Figure {
    let strokes = |stroke: Stroke| view.arcs.iter().filter(|a| a.stroke == stroke).map(|a| a.path.as_str()).collect();
    Figure {
        name: view.name.clone(),
        window: [view.bounds.min().x, view.bounds.min().y, view.bounds.width(), view.bounds.height()],
        mirror: view.mirror,
        skin: view.regions.iter().map(|s| s.path.as_str()).collect(),
        seams: strokes(Stroke::Seam),
        edge: strokes(Stroke::Outline),
        details: view.details.concat(),
    }
}

/// True if a right side is seen as the mirror image of the drawing. On the front the person's right is at the
/// onlooker's left; a right palm, sole or inner foot faces the other way than it is drawn.
pub fn flipped_right(view: ViewId) -> bool {
    view == ViewId::Front || view.turned_on_the_right()
}

/// Path of a region's mirror image.
pub fn mirrored(shape: &Shape) -> String {
    let mut path = String::new();
    for ring in other_half(&shape.shape).0.iter().map(geo::Polygon::exterior) {
        for (i, c) in ring.0.iter().enumerate() {
            let _ = write!(path, "{}{:.2} {:.2}", if i == 0 { "M" } else { "L" }, c.x, c.y);
        }
        path.push('Z');
    }
    path
}

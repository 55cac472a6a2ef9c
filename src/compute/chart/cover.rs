//! Shapes on a view: what authors drew as polygons, the shape of a place, and which places a shape
//! covers.

use crate::chart::{Chart, View, chart, mirrored};
use crate::model::chart::{Line, Outline, Point2, ViewId};
use crate::model::region::{Place, Side, regions};
use geo::orient::Direction;
use geo::{Area, BooleanOps, BoundingRect, Coord, Intersects, LineString, MultiPolygon, Orient, Point, Polygon, unary_union};

/// A region counts as covered from this share of its area on, house practice of the tool ...
const OF_REGION: f64 = 0.15;
/// ... or if at least this share of the shape lies in it. Less is the edge of a schematic drawing.
const OF_SHAPE: f64 = 0.25;

/// How much of a place a shape covers in one view.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Covered {
    /// The place.
    pub place: Place,
    /// Common area, cm2.
    pub area: f64,
    /// The same as share of the region's area in this view.
    pub of_region: f64,
    /// The same as share of the area of the shape.
    pub of_shape: f64,
}

impl Covered {
    /// True if it is more than the edge of a drawing.
    pub fn counts(&self) -> bool {
        self.of_region >= OF_REGION || self.of_shape >= OF_SHAPE
    }
}

/// The polygon of an outline. Authors write either way round; a union needs all rings to turn alike.
pub fn polygon(outline: &Outline) -> Polygon {
    Polygon::new(outline.points.iter().map(|p| coord(p.value)).collect(), Vec::new()).orient(Direction::Default)
}

/// Several outlines as one shape; what they share counts once.
pub fn shape(outlines: &[Outline]) -> MultiPolygon {
    let polygons: Vec<Polygon> = outlines.iter().map(polygon).collect();
    unary_union(&polygons)
}

/// The line that was written.
pub fn line(line: &Line) -> LineString {
    line.points.iter().map(|p| coord(p.value)).collect()
}

/// A point of a view.
pub fn coord(point: Point2) -> Coord {
    Coord { x: point.x, y: point.y }
}

/// The shape of a place in a view; of both sides where the side may be either. `None` if the view does not
/// show it.
pub fn place_shape(view: &View, place: Place) -> Option<MultiPolygon> {
    let own = &view.shape(place.region)?.shape;
    match place.side {
        Side::Same | Side::Midline => Some(own.clone()),
        Side::Other => view.mirror.then(|| mirrored(own)),
        Side::Both | Side::Left | Side::Right if view.mirror => Some(MultiPolygon::new(own.iter().cloned().chain(mirrored(own)).collect())),
        Side::Both | Side::Left | Side::Right => Some(own.clone()),
    }
}

/// Largest area of a place in any view, cm2; 0 for a region that no view shows.
pub fn area_of(chart: &Chart, place: Place) -> f64 {
    chart.views.iter().filter_map(|v| v.shape(place.region)).map(|s| s.area).fold(0.0, f64::max)
}

/// Places that a shape meets in a view, in order of the list.
pub fn covered(view: &View, shape: &MultiPolygon) -> Vec<Covered> {
    let (Some(bounds), whole) = (shape.bounding_rect(), shape.unsigned_area()) else { return Vec::new() };
    let mut out = Vec::new();
    for region in &view.regions {
        let paired = regions().get(region.region).paired;
        let mut add = |side, own: &MultiPolygon| {
            let area = own.intersection(shape).unsigned_area();
            if area > 0.0 {
                let place = Place { region: region.region, side };
                out.push(Covered { place, area, of_region: area / region.area, of_shape: area / whole });
            }
        };
        if region.bounds.intersects(&bounds) {
            add(if paired { Side::Same } else { Side::Midline }, &region.shape);
        }
        if view.mirror && paired {
            let other = mirrored(&region.shape);
            if other.bounding_rect().is_some_and(|b| b.intersects(&bounds)) {
                add(Side::Other, &other);
            }
        }
    }
    out.sort_by_key(|c| c.place);
    out
}

/// The place in which a point lies, on a border the earlier of the drawing; `None` beside the body.
pub fn place_at(view: ViewId, point: Point2) -> Option<Place> {
    let view = chart().view(view)?;
    let (at, across) = (Point::new(point.x, point.y), Point::new(-point.x, point.y));
    view.regions.iter().find_map(|region| {
        let paired = regions().get(region.region).paired;
        let side = if region.shape.intersects(&at) {
            if paired { Side::Same } else { Side::Midline }
        } else if view.mirror && paired && region.shape.intersects(&across) {
            Side::Other
        } else {
            return None;
        };
        Some(Place { region: region.region, side })
    })
}

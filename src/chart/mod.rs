//! The body chart: the drawing that ships with the tool, read as data.
//!
//! `body.svg` is drawing and data at once: lines, the regions that they bound, and the scale. Here it
//! becomes views with arcs for the eye and polygons for the arithmetic. Nothing here knows of packs;
//! what authors draw on the chart is `model::chart`, and what follows from it is `compute::chart`.

mod border;
mod path;
mod read;
#[cfg(test)]
mod tests;

pub use read::{ChartError, parse};

use crate::model::chart::ViewId;
use crate::model::region::RegionId;
use geo::orient::{Direction, Orient};
use geo::{Area, BoundingRect, Coord, LineString, MapCoords, MultiPolygon, Polygon, Rect};
use std::collections::BTreeSet;
use std::sync::LazyLock;

/// The whole chart. Lengths are cm on a person of the stated height.
#[derive(Debug, Default)]
pub struct Chart {
    /// Height of the person for whom the scale holds, cm.
    pub height: f64,
    /// Views in order of the source.
    pub views: Vec<View>,
    /// Windows that are shown enlarged.
    pub insets: Vec<Inset>,
}

/// One view.
#[derive(Debug)]
pub struct View {
    /// Which.
    pub id: ViewId,
    /// Name for people.
    pub name: String,
    /// Box of its coordinates.
    pub bounds: Rect,
    /// Where its origin lies on the whole sheet.
    pub origin: (f64, f64),
    /// True if only the half x >= 0 is drawn and the other half is its mirror image.
    pub mirror: bool,
    /// Lines that bound regions.
    pub arcs: Vec<Arc>,
    /// Lines that are drawn only, as SVG path data.
    pub details: Vec<String>,
    /// Regions in order of the source.
    pub regions: Vec<Shape>,
}

/// What an arc is drawn as.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Stroke {
    /// Edge of the body.
    Outline,
    /// Border between regions.
    Seam,
}

/// A line from node to node.
#[derive(Debug)]
pub struct Arc {
    /// Id in the source.
    pub id: String,
    /// How it is drawn.
    pub stroke: Stroke,
    /// SVG path data, curves kept.
    pub path: String,
    /// The same as straight pieces.
    pub line: LineString,
}

/// A region in a view: of a paired one that of the treated side, of a midline one the whole.
#[derive(Debug)]
pub struct Shape {
    /// The region.
    pub region: RegionId,
    /// SVG path data of its border, curves kept.
    pub path: String,
    /// The same as polygons, cm.
    pub shape: MultiPolygon,
    /// Box round it.
    pub bounds: Rect,
    /// Area, cm2.
    pub area: f64,
}

/// A window on a view, shown enlarged in the same coordinates.
#[derive(Debug)]
pub struct Inset {
    /// Id in the source.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// The view.
    pub of: ViewId,
    /// The window.
    pub bounds: Rect,
}

impl Chart {
    /// The view of an id; `None` only if the drawing lacks it.
    pub fn view(&self, id: ViewId) -> Option<&View> {
        self.views.iter().find(|v| v.id == id)
    }
}

impl View {
    /// The shape of a region, if it is in this view.
    pub fn shape(&self, region: RegionId) -> Option<&Shape> {
        self.regions.iter().find(|s| s.region == region)
    }

    /// Pairs of regions that share a border here, each once, the earlier of the list first. A border is two
    /// nodes in a row that both have.
    pub fn neighbours(&self) -> BTreeSet<(RegionId, RegionId)> {
        border::neighbours(self)
    }
}

impl Shape {
    /// Rings may be written either way round; a union needs them all to turn alike.
    fn new(region: RegionId, path: String, rings: Vec<Polygon>) -> Option<Shape> {
        let shape = MultiPolygon::new(rings).orient(Direction::Default);
        Some(Shape { region, path, bounds: shape.bounding_rect()?, area: shape.unsigned_area(), shape })
    }
}

/// The mirror image on the other side of the midline.
pub fn mirrored(shape: &MultiPolygon) -> MultiPolygon {
    shape.map_coords(|c| Coord { x: -c.x, y: c.y }).orient(Direction::Default)
}

/// The chart that ships with the tool. A test proves that it can be read.
pub fn chart() -> &'static Chart {
    static CHART: LazyLock<Chart> = LazyLock::new(|| parse(include_str!("body.svg")).unwrap_or_default());
    &CHART
}

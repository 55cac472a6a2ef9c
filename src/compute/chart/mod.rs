//! Geometry of the packs on the body chart: places that drawings cover, zones as areas, sweeps.
//!
//! All lengths are cm on a person of the chart's height, as drawn: a flat picture of a round body. Shares
//! are therefore rough, and limits on them are wide.

pub mod angle;
pub mod cover;
pub mod sweep;
#[cfg(test)]
mod tests;
pub mod zone;

use crate::chart::chart;
use crate::model::docs::{Muscle, Point, Zone};
use crate::model::region::Place;
use crate::model::{Catalog, Idx};
use cover::{Covered, coord, covered, place_at, place_shape, polygon};
use geo::{Distance, Euclidean, MultiPolygon};
use rayon::prelude::*;
use std::collections::BTreeSet;
use zone::{Alike, Core, ZoneAreas, alike, areas, joined};

/// What follows from the drawings of a catalogue.
#[derive(Debug, Default)]
pub struct ChartFacts {
    /// One for each muscle, by row.
    pub muscles: Vec<MuscleFacts>,
    /// Pairs of muscles whose cores share skin, in order of the rows.
    pub overlaps: Vec<Overlap>,
}

/// What follows from the drawings of one muscle.
#[derive(Clone, Debug, Default)]
pub struct MuscleFacts {
    /// For each drawing, by row, the places that its outline covers.
    pub drawings: Vec<Vec<Covered>>,
    /// Places that the outlines cover by more than an edge, sorted.
    pub places: Vec<Place>,
    /// One for each point, by row.
    pub points: Vec<PointFacts>,
    /// Cores of all points together.
    pub core: Core,
}

/// What follows from the drawings of one point.
#[derive(Clone, Debug, Default)]
pub struct PointFacts {
    /// One for each mark, by row.
    pub marks: Vec<MarkFacts>,
    /// Places in which its marks lie, sorted.
    pub places: Vec<Place>,
    /// Its zone.
    pub zone: Option<ZoneAreas>,
}

/// What follows from one mark of a point.
#[derive(Copy, Clone, Debug)]
pub struct MarkFacts {
    /// The place in which it lies; `None` beside the body.
    pub place: Option<Place>,
    /// How far it lies from the nearest of the regions that its words name, cm; `None` if the view shows none of them.
    pub named: Option<f64>,
    /// How far it lies outside the outline in the same view, cm; `None` if there is no outline.
    pub outside: Option<f64>,
}

/// Two muscles whose cores share skin.
#[derive(Copy, Clone, Debug)]
pub struct Overlap {
    /// The earlier muscle.
    pub one: Idx<Muscle>,
    /// The later.
    pub two: Idx<Muscle>,
    /// How much.
    pub alike: Alike,
}

/// Common area over the smaller core from which two muscles look alike. House practice of the tool.
pub const ALIKE: f64 = 0.5;

impl Overlap {
    /// True if a pain drawing alone can hardly tell the two apart.
    pub fn looks_alike(&self) -> bool {
        self.alike.of_smaller >= ALIKE
    }
}

impl ChartFacts {
    /// Muscles that look like this one, most alike first.
    pub fn look_alikes(&self, muscle: Idx<Muscle>) -> Vec<(Idx<Muscle>, Alike)> {
        let other = |o: &Overlap| match (o.one == muscle, o.two == muscle) {
            (true, _) => Some((o.two, o.alike)),
            (_, true) => Some((o.one, o.alike)),
            _ => None,
        };
        let mut out: Vec<_> = self.overlaps.iter().filter(|o| o.looks_alike()).filter_map(other).collect();
        out.sort_by(|a, b| b.1.of_smaller.total_cmp(&a.1.of_smaller).then(a.0.cmp(&b.0)));
        out
    }

    /// Facts of a muscle.
    pub fn of(&self, muscle: Idx<Muscle>) -> &MuscleFacts {
        &self.muscles[muscle.row()]
    }
}

/// Pairs of muscles that are to be told apart, each once, the earlier row first: their cores share skin, or a document
/// names one as a look-alike or as a neighbour of the other.
pub fn to_tell_apart(catalog: &Catalog, facts: &ChartFacts) -> BTreeSet<(Idx<Muscle>, Idx<Muscle>)> {
    let shared = facts.overlaps.iter().filter(|o| o.looks_alike()).map(|o| (o.one, o.two));
    let named = catalog.muscles.iter().flat_map(|(idx, m)| {
        let alike = m.look_alikes.iter().filter_map(|l| l.muscle.to);
        let beside = m.neighbours.iter().filter_map(|n| n.muscle.as_ref()?.to);
        alike.chain(beside).map(move |other| (idx, other))
    });
    shared.chain(named).filter(|(a, b)| a != b).map(|(a, b)| (a.min(b), a.max(b))).collect()
}

pub(super) fn compute(catalog: &Catalog) -> ChartFacts {
    let muscles: Vec<MuscleFacts> = catalog.muscles.rows().par_iter().map(muscle).collect();
    let overlaps = (0..muscles.len()).into_par_iter().flat_map_iter(|i| overlaps(&muscles, i)).collect();
    ChartFacts { muscles, overlaps }
}

fn overlaps(muscles: &[MuscleFacts], i: usize) -> Vec<Overlap> {
    let Some(one) = muscles.get(i) else { return Vec::new() };
    let others = muscles.iter().enumerate().skip(i + 1);
    others
        .filter_map(|(j, two)| Some(Overlap { one: Idx::new(i), two: Idx::new(j), alike: alike(&one.core, &two.core)? }))
        .filter(|o| o.alike.jaccard > 0.0)
        .collect()
}

/// Computes one muscle.
pub fn muscle(muscle: &Muscle) -> MuscleFacts {
    let outline = |d: &crate::model::docs::MuscleDrawing| {
        let (view, outline) = (chart().view(d.view.value)?, d.outline.as_ref()?);
        Some(covered(view, &MultiPolygon::new(vec![polygon(outline)])))
    };
    let drawings: Vec<Vec<Covered>> = muscle.chart.iter().map(|d| outline(d).unwrap_or_default()).collect();
    let points: Vec<PointFacts> = muscle.points.iter().map(|p| point(muscle, p)).collect();
    let zones: Vec<_> = muscle.points.iter().zip(&points).filter_map(|(p, f)| p.zone.as_ref().zip(f.zone.as_ref())).collect();
    MuscleFacts {
        places: sorted(drawings.iter().flatten().filter(|c| c.counts()).map(|c| c.place)),
        core: joined(&zones),
        drawings,
        points,
    }
}

fn point(muscle: &Muscle, point: &Point) -> PointFacts {
    let mark = |m: &crate::model::docs::PointMark| {
        let outline = muscle.chart.iter().filter(|d| d.view.value == m.view.value).find_map(|d| d.outline.as_ref());
        let at = geo::Point::from(coord(m.at.value));
        let shapes = chart().view(m.view.value).into_iter().flat_map(|v| point.region.all.iter().filter_map(|p| place_shape(v, *p)));
        let named = shapes.map(|s| Euclidean.distance(&at, &s)).reduce(f64::min);
        MarkFacts { place: place_at(m.view.value, m.at.value), named, outside: outline.map(|o| Euclidean.distance(&at, &polygon(o))) }
    };
    let marks: Vec<MarkFacts> = point.chart.iter().map(mark).collect();
    PointFacts { places: sorted(marks.iter().filter_map(|m| m.place)), zone: point.zone.as_ref().map(areas), marks }
}

/// Places of a zone, of words and of drawings, sorted.
pub fn zone_places(zone: &Zone) -> Vec<Place> {
    let drawn = areas(zone);
    let words = zone.core.all.iter().chain(&zone.spread.all).copied();
    sorted(words.chain(drawn.drawn_core.into_keys()).chain(drawn.drawn_spread.into_keys()))
}

fn sorted(places: impl Iterator<Item = Place>) -> Vec<Place> {
    let mut all: Vec<Place> = places.collect();
    all.sort_unstable();
    all.dedup();
    all
}

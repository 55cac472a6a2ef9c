//! The edge of the body, and which regions share a border.

use super::path::SAME;
use super::{Stroke, View};
use crate::model::region::RegionId;
use geo::{Coord, LineString, LinesIter};
use std::collections::{BTreeMap, BTreeSet};

/// Closed rings of the edge of the body in a view: its outline arcs, end to end, with their mirror images.
pub(super) fn edges(view: &View) -> Vec<LineString> {
    let mut lines: Vec<Vec<Coord>> = view.arcs.iter().filter(|a| a.stroke == Stroke::Outline).map(|a| a.line.0.clone()).collect();
    if view.mirror {
        let other = lines.iter().map(|l| l.iter().map(|c| Coord { x: -c.x, y: c.y }).collect());
        lines.extend(other.collect::<Vec<Vec<Coord>>>());
    }
    let near = |a: Option<&Coord>, b: Option<&Coord>| a.zip(b).is_some_and(|(a, b)| (a.x - b.x).hypot(a.y - b.y) < SAME);
    let mut rings = Vec::new();
    while let Some(mut ring) = lines.pop() {
        while !near(ring.first(), ring.last()) {
            let Some(i) = lines.iter().position(|l| near(ring.last(), l.first()) || near(ring.last(), l.last())) else { break };
            let mut next = lines.swap_remove(i);
            if !near(ring.last(), next.first()) {
                next.reverse();
            }
            ring.extend(next.into_iter().skip(1));
        }
        rings.push(LineString::new(ring));
    }
    rings
}

/// Borders are written once, so that the straight pieces of neighbours are the same to the last digit.
pub(super) fn neighbours(view: &View) -> BTreeSet<(RegionId, RegionId)> {
    let mut owners: BTreeMap<[u64; 4], Vec<RegionId>> = BTreeMap::new();
    for shape in &view.regions {
        for piece in shape.shape.lines_iter().filter(|l| l.start != l.end) {
            let (a, b) = (key(piece.start), key(piece.end));
            let (a, b) = if a <= b { (a, b) } else { (b, a) };
            owners.entry([a[0], a[1], b[0], b[1]]).or_default().push(shape.region);
        }
    }
    let mut pairs = BTreeSet::new();
    for owners in owners.values() {
        for (i, a) in owners.iter().enumerate() {
            pairs.extend(owners[i + 1..].iter().filter(|b| *b != a).map(|b| if a < b { (*a, *b) } else { (*b, *a) }));
        }
    }
    pairs
}

fn key(c: Coord) -> [u64; 2] {
    // Adding zero makes one of the two zeros.
    [(c.x + 0.0).to_bits(), (c.y + 0.0).to_bits()]
}

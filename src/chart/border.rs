//! Which regions share a border.

use super::{Stroke, View};
use crate::model::region::RegionId;
use geo::{Coord, Line, LinesIter};
use std::collections::{BTreeMap, BTreeSet};

/// Borders are written once, so that the straight pieces of neighbours are the same to the last digit.
/// An outline between two regions is the edge of a limb in front of other skin, and no border.
pub(super) fn neighbours(view: &View) -> BTreeSet<(RegionId, RegionId)> {
    let edges: BTreeSet<[u64; 4]> =
        view.arcs.iter().filter(|a| a.stroke == Stroke::Outline).flat_map(|a| a.line.lines().map(both_ways)).collect();
    let mut owners: BTreeMap<[u64; 4], Vec<RegionId>> = BTreeMap::new();
    for shape in &view.regions {
        for piece in shape.shape.lines_iter().filter(|l| l.start != l.end).map(both_ways).filter(|p| !edges.contains(p)) {
            owners.entry(piece).or_default().push(shape.region);
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

fn both_ways(line: Line) -> [u64; 4] {
    let (a, b) = (key(line.start), key(line.end));
    let (a, b) = if a <= b { (a, b) } else { (b, a) };
    [a[0], a[1], b[0], b[1]]
}

fn key(c: Coord) -> [u64; 2] {
    // Adding zero makes one of the two zeros.
    [(c.x + 0.0).to_bits(), (c.y + 0.0).to_bits()]
}

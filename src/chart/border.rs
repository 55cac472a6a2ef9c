//! Which regions share a border.

use super::View;
use crate::model::region::RegionId;
use geo::{Coord, LinesIter};
use std::collections::{BTreeMap, BTreeSet};

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

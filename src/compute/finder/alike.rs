//! Muscles that a pain drawing alone can hardly tell apart: their cores overlap.

use super::{Half, Part, Spot, spots};
use crate::model::docs::Muscle;
use crate::model::{Catalog, Idx};
use std::collections::BTreeSet;

/// Two points with cores that share at least this part of the smaller one look alike. House choice, no source.
const LEAST: f64 = 0.5;

/// A muscle with a core that overlaps.
#[derive(Clone, Debug, PartialEq)]
pub struct LookAlike {
    /// The other muscle.
    pub muscle: Idx<Muscle>,
    /// Point of the first muscle and point of the other whose cores overlap most.
    pub points: (u32, u32),
    /// Part of the smaller core that both share, by number of regions, from 0 to 1.
    pub overlap: f64,
    /// Spots that both cores hold, for a person treated on the left.
    pub shared: Vec<Spot>,
}

/// Cores of a muscle by point, for a person treated on the left; the other side is the mirror image.
fn cores(muscle: &Muscle) -> Vec<(u32, BTreeSet<Spot>)> {
    let core = |zone| spots(zone, Half::Left).into_iter().filter(|(_, part)| *part == Part::Core).map(|(spot, _)| spot).collect();
    muscle.points.iter().filter_map(|p| Some((p.number.value, core(p.zone.as_ref()?)))).collect()
}

/// Muscles whose core overlaps with one of `muscle` by half or more of the smaller core, most first.
pub fn look_alikes(catalog: &Catalog, muscle: Idx<Muscle>) -> Vec<LookAlike> {
    let own = cores(&catalog.muscles[muscle]);
    let mut out: Vec<LookAlike> =
        catalog.muscles.iter().filter(|(other, _)| *other != muscle).filter_map(|(other, doc)| closest(&own, other, &cores(doc))).collect();
    out.sort_by(|a, b| b.overlap.total_cmp(&a.overlap).then(a.muscle.cmp(&b.muscle)));
    out
}

fn closest(own: &[(u32, BTreeSet<Spot>)], muscle: Idx<Muscle>, other: &[(u32, BTreeSet<Spot>)]) -> Option<LookAlike> {
    let mut best: Option<LookAlike> = None;
    for (a, core_a) in own {
        for (b, core_b) in other {
            let shared: Vec<Spot> = core_a.intersection(core_b).copied().collect();
            let overlap = super::Share { part: count(shared.len()), whole: count(core_a.len().min(core_b.len())) }.value();
            if overlap >= LEAST && best.as_ref().is_none_or(|l| overlap > l.overlap) {
                best = Some(LookAlike { muscle, points: (*a, *b), overlap, shared });
            }
        }
    }
    best
}

fn count(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

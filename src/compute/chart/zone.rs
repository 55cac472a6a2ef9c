//! Pain zones as areas, and how alike two of them are.

use super::cover::{Covered, area_of, covered, shape};
use crate::chart::chart;
use crate::model::chart::Outline;
use crate::model::docs::{Zone, ZoneDrawing};
use crate::model::region::{Place, Side};
use std::collections::BTreeMap;

/// Area of each place, cm2, in the view that shows most of it.
pub type Areas = BTreeMap<Place, f64>;

/// A pain zone, words and drawing together. A drawing is finer than a word: where both name a place, the
/// drawn area counts.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ZoneAreas {
    /// Where pain is felt most.
    pub core: Areas,
    /// Where it may spread.
    pub spread: Areas,
    /// Places of the drawn core.
    pub drawn_core: Areas,
    /// Places of the drawn spread.
    pub drawn_spread: Areas,
}

/// How much two sets of areas share.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Alike {
    /// Common area over the area of either (Jaccard 1912; the formula from memory).
    pub jaccard: f64,
    /// Common area over the smaller area.
    pub of_smaller: f64,
}

/// Areas of a zone.
pub fn areas(zone: &Zone) -> ZoneAreas {
    let (drawn_core, drawn_spread) = (drawn(zone, |d| &d.core), drawn(zone, |d| &d.spread));
    ZoneAreas {
        core: together(words(&zone.core.all), &drawn_core),
        spread: together(words(&zone.spread.all), &drawn_spread),
        drawn_core,
        drawn_spread,
    }
}

fn words(places: &[Place]) -> Areas {
    let sides = |p: &Place| match p.side {
        Side::Both => vec![Place { side: Side::Same, ..*p }, Place { side: Side::Other, ..*p }],
        _ => vec![*p],
    };
    places.iter().flat_map(sides).map(|p| (p, area_of(chart(), p))).collect()
}

fn drawn<'z>(zone: &'z Zone, part: impl Fn(&'z ZoneDrawing) -> &'z [Outline]) -> Areas {
    let mut areas = Areas::new();
    for drawing in &zone.drawn {
        let (Some(view), outlines) = (chart().view(drawing.view.value), part(drawing)) else { continue };
        for found in covered(view, &shape(outlines)).into_iter().filter(Covered::counts) {
            let area = areas.entry(found.place).or_insert(0.0);
            *area = found.area.max(*area);
        }
    }
    areas
}

fn together(mut words: Areas, drawn: &Areas) -> Areas {
    words.extend(drawn);
    words
}

/// Cores of several zones as one: of each place the largest area.
pub fn joined<'a>(zones: impl Iterator<Item = &'a Areas>) -> Areas {
    let mut all = Areas::new();
    for (place, area) in zones.flatten() {
        let known = all.entry(*place).or_insert(0.0);
        *known = area.max(*known);
    }
    all
}

/// How alike two sets of areas are; `None` if one is empty. Where both cover a part of one place, the
/// smaller part counts as common.
pub fn alike(one: &Areas, two: &Areas) -> Option<Alike> {
    let sum = |a: &Areas| a.values().sum::<f64>();
    let (first, second) = (sum(one), sum(two));
    let common: f64 = one.iter().filter_map(|(place, a)| two.get(place).map(|b| a.min(*b))).sum();
    let smaller = first.min(second);
    (smaller > 0.0).then(|| Alike { jaccard: common / (first + second - common), of_smaller: common / smaller })
}

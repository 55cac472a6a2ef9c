//! Pain zones as areas, and how alike two of them are.

use super::cover::{Covered, area_of, covered, place_shape, shape};
use crate::chart::chart;
use crate::model::chart::{Outline, ViewId};
use crate::model::docs::{Zone, ZoneDrawing};
use crate::model::region::{Place, Side};
use geo::{Area, BooleanOps, MultiPolygon, unary_union};
use std::collections::BTreeMap;

/// Area of each place, cm2, in the view that shows most of it.
pub type Areas = BTreeMap<Place, f64>;

/// Area of a region that no view shows, cm2: two cores inside the body are alike too. House practice of the tool.
const UNSEEN: f64 = 20.0;

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
    let area = |p| Some(area_of(chart(), p)).filter(|a| *a > 0.0).unwrap_or(UNSEEN);
    places.iter().flat_map(sides).map(|p| (p, area(p))).collect()
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

/// The core of a muscle: that of all its points together.
#[derive(Clone, Debug, Default)]
pub struct Core {
    /// Area of each place, cm2.
    pub areas: Areas,
    /// The shape of a place in a view, where every point that refers there drew it.
    drawn: BTreeMap<(Place, ViewId), MultiPolygon>,
}

/// Cores of several zones as one: of each place the largest area, or that of all drawings together.
pub fn joined(zones: &[(&Zone, &ZoneAreas)]) -> Core {
    let mut core = Core::default();
    for (place, area) in zones.iter().flat_map(|(_, z)| &z.core) {
        let known = core.areas.entry(*place).or_insert(0.0);
        *known = area.max(*known);
    }
    let whole = |place: Place| zones.iter().any(|(_, z)| z.core.contains_key(&place) && !z.drawn_core.contains_key(&place));
    let mut parts: BTreeMap<(Place, ViewId), Vec<MultiPolygon>> = BTreeMap::new();
    for drawing in zones.iter().flat_map(|(zone, _)| &zone.drawn) {
        let Some(view) = chart().view(drawing.view.value) else { continue };
        let outline = shape(&drawing.core);
        for found in covered(view, &outline).into_iter().filter(|c| c.counts() && !whole(c.place)) {
            let own = place_shape(view, found.place).map(|s| s.intersection(&outline));
            parts.entry((found.place, view.id)).or_default().extend(own);
        }
    }
    for ((place, view), own) in parts {
        let shape = unary_union(own.iter().flat_map(MultiPolygon::iter));
        let area = core.areas.entry(place).or_insert(0.0);
        *area = shape.unsigned_area().max(*area);
        core.drawn.insert((place, view), shape);
    }
    core
}

/// How alike two cores are; `None` if one is empty. Where both drew a place in one view, what their drawings share is
/// common. Where one did not, nobody knows which part it is: the smaller area counts as common.
pub fn alike(one: &Core, two: &Core) -> Option<Alike> {
    let sum = |a: &Core| a.areas.values().sum::<f64>();
    let (first, second) = (sum(one), sum(two));
    let common: f64 =
        one.areas.iter().filter_map(|(place, a)| Some(shared(one, two, *place).unwrap_or(a.min(*two.areas.get(place)?)))).sum();
    let smaller = first.min(second);
    (smaller > 0.0).then(|| Alike { jaccard: common / (first + second - common), of_smaller: common / smaller })
}

/// What two drawings of a place share in the view in which they share most, cm2; `None` if no view holds both.
fn shared(one: &Core, two: &Core, place: Place) -> Option<f64> {
    let own = one.drawn.range((place, ViewId::Front)..).take_while(|((p, _), _)| *p == place);
    own.filter_map(|(key, a)| Some(a.intersection(two.drawn.get(key)?).unsigned_area())).reduce(f64::max)
}

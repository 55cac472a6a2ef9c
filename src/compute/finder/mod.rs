//! From a pain drawing to places worth examining: red flags that the marks meet, then every muscle
//! with a zone that they meet, and how alike drawing and zone are.
//!
//! The measure is 1 minus the dissimilarity of Bray and Curtis (Ecological Monographs 1957, 27,
//! 325-349), twice the sum of the smaller values over the sum of all values. Both sides are brought to
//! values from 0 to 1 first: a mark counts by its strength over the strongest mark of the drawing, so
//! that a person who marks everything weakly gets the same list as one who marks everything strongly;
//! a zone counts 1 in its core and a half in its spread. The half is a house choice without a source:
//! a spread is felt by fewer people, and no share of people is reported for most zones.
//!
//! Everything is summed in sixths, as whole numbers, so that the script of the page comes to the very
//! same number. Pages and commands show what is computed here; neither decides anything.

mod drawing;

pub use drawing::{Drawing, Half, Spot, Strength};

use super::chart::ChartFacts;
use crate::model::docs::{Flag, Muscle, Point, Zone};
use crate::model::region::{Place, RegionId, regions};
use crate::model::vocabulary::Urgency;
use crate::model::{Catalog, Idx};
use std::collections::{BTreeMap, BTreeSet};

/// Weight of a core region in sixths.
pub const CORE: u32 = 6;
/// Weight of a spread region in sixths. House choice, no source.
pub const SPREAD: u32 = 3;

/// Core or spread of a zone.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// The open part.
    Spread,
    /// The dense part.
    Core,
}

impl Part {
    /// The word.
    pub fn word(self) -> &'static str {
        match self {
            Part::Core => "core",
            Part::Spread => "spread",
        }
    }

    fn weight(self) -> u32 {
        match self {
            Part::Core => CORE,
            Part::Spread => SPREAD,
        }
    }
}

/// A share as two whole numbers.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq)]
pub struct Share {
    /// The part.
    pub part: u32,
    /// The whole.
    pub whole: u32,
}

impl Share {
    /// From 0 to 1; 0 of nothing is 0.
    pub fn value(self) -> f64 {
        if self.whole == 0 { 0.0 } else { f64::from(self.part) / f64::from(self.whole) }
    }
}

/// Why a muscle is listed: a marked spot and the zones it lies in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reason {
    /// The marked spot.
    pub spot: Spot,
    /// Its strength.
    pub strength: Strength,
    /// Points of the muscle whose zone holds the spot, and in which part.
    pub zones: Vec<(u32, Part)>,
}

/// A muscle of a side with a zone that the marks meet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Candidate {
    /// The muscle.
    pub muscle: Idx<Muscle>,
    /// The side it lies on.
    pub half: Half,
    /// Likeness of the drawing and the closest zone.
    pub similarity: Share,
    /// Points whose zone, or zones together, are closest.
    pub closest: Vec<u32>,
    /// Share of all marked strength that lies in any zone of the muscle.
    pub covered: Share,
    /// Share of the weight of the closest zone that is marked, whatever the strength.
    pub marked: Share,
    /// Reasons spot by spot.
    pub reasons: Vec<Reason>,
}

/// A red flag and the marked spots that it is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FlagHit {
    /// The flag.
    pub flag: Idx<Flag>,
    /// The spots.
    pub spots: Vec<Spot>,
}

/// A topic that the list of regions asks for at a marked spot and no red flag covers there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unasked {
    /// The topic.
    pub topic: &'static str,
    /// The spots.
    pub spots: Vec<Spot>,
}

/// What a drawing leads to. Nothing in it is a diagnosis.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Found {
    /// Red flags, most urgent first.
    pub flags: Vec<FlagHit>,
    /// Topics without a red flag.
    pub unasked: Vec<Unasked>,
    /// Every muscle and side with a zone that the marks meet, closest first, ties by name.
    pub candidates: Vec<Candidate>,
}

/// Red flags in the order in which they are shown: most urgent first, an unreadable urgency as most urgent.
pub fn flags(catalog: &Catalog) -> Vec<(Idx<Flag>, &Flag)> {
    let mut all: Vec<(Idx<Flag>, &Flag)> = catalog.flags.iter().collect();
    all.sort_by_key(|(idx, flag)| (flag.urgency.unwrap_or(Urgency::Now), *idx));
    all
}

/// A muscle and its points with a zone.
pub type Zoned<'a> = (Idx<Muscle>, Vec<(&'a Point, &'a Zone)>);

/// Points with a zone, by muscle, in the order of ties: by name, then by row.
pub fn zones(catalog: &Catalog) -> Vec<Zoned<'_>> {
    let with_zone = |p: &'_ Muscle| p.points.iter().any(|p| p.zone.is_some());
    let mut all: Vec<_> = catalog.muscles.iter().filter(|(_, m)| with_zone(m)).collect();
    all.sort_by(|(a, x), (b, y)| (&*x.name.value, a).cmp(&(&*y.name.value, b)));
    all.into_iter().map(|(idx, m)| (idx, m.points.iter().filter_map(|p| Some((p, p.zone.as_ref()?))).collect())).collect()
}

/// Looks up what a drawing meets.
pub fn find(catalog: &Catalog, drawing: &Drawing) -> Found {
    let mut candidates = Vec::new();
    for (muscle, points) in zones(catalog) {
        candidates.extend(Half::BOTH.into_iter().filter_map(|half| candidate(muscle, half, &points, drawing)));
    }
    // Stable: what is equally alike stays in the order of names.
    candidates.sort_by(|a, b| b.similarity.value().total_cmp(&a.similarity.value()));
    Found { flags: flag_hits(catalog, drawing), unasked: unasked(catalog, drawing), candidates }
}

/// A muscle of a side that lies under marked spots.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lying {
    /// The muscle.
    pub muscle: Idx<Muscle>,
    /// The side it lies on.
    pub half: Half,
    /// The marked spots.
    pub spots: Vec<Spot>,
}

/// Places of every muscle, by its words and by its drawn outline, in the order of names. A muscle without any is left out.
pub fn lies(catalog: &Catalog, facts: &ChartFacts) -> Vec<(Idx<Muscle>, BTreeSet<Place>)> {
    let places =
        |(idx, m): (Idx<Muscle>, &Muscle)| (idx, m.regions.all.iter().chain(&facts.of(idx).places).copied().collect::<BTreeSet<_>>());
    let mut all: Vec<_> = catalog.muscles.iter().map(places).filter(|(_, places)| !places.is_empty()).collect();
    all.sort_by_key(|(idx, _)| (catalog.muscles[*idx].name.value.clone(), *idx));
    all
}

/// Muscles that lie under marked spots, by name, left before right. Nothing is scored: a person also presses there.
pub fn under(catalog: &Catalog, facts: &ChartFacts, drawing: &Drawing) -> Vec<Lying> {
    let mut out = Vec::new();
    for (muscle, places) in lies(catalog, facts) {
        for half in Half::BOTH {
            let lying: BTreeSet<Spot> = places.iter().flat_map(|p| Spot::of(*p, half)).collect();
            let spots: Vec<Spot> = drawing.marks().map(|(s, _)| s).filter(|s| lying.contains(s)).collect();
            out.extend((!spots.is_empty()).then_some(Lying { muscle, half, spots }));
        }
    }
    out
}

/// Spots of a zone with their part, for a person treated on `treated`. What is core and spread is core.
pub fn spots(zone: &Zone, treated: Half) -> BTreeMap<Spot, Part> {
    let mut out = BTreeMap::new();
    let mut add = |places: &[Place], part| out.extend(places.iter().flat_map(|p| Spot::of(*p, treated)).map(|s| (s, part)));
    add(&zone.spread.all, Part::Spread);
    add(&zone.core.all, Part::Core);
    out
}

fn candidate(muscle: Idx<Muscle>, half: Half, points: &[(&Point, &Zone)], drawing: &Drawing) -> Option<Candidate> {
    let single: Vec<(u32, BTreeMap<Spot, Part>)> = points.iter().map(|(p, z)| (p.number.value, spots(z, half))).collect();
    let reasons: Vec<Reason> = drawing.marks().filter_map(|(spot, strength)| reason(spot, strength, &single)).collect();
    if reasons.is_empty() {
        return None;
    }
    let mut together: BTreeMap<Spot, Part> = BTreeMap::new();
    for (spot, part) in single.iter().flat_map(|(_, zone)| zone) {
        let old = together.entry(*spot).or_insert(*part);
        *old = (*old).max(*part);
    }
    let all = (single.iter().map(|(n, _)| *n).collect(), together);
    let mut closest: Option<(Share, Vec<u32>, Share)> = None;
    for (numbers, zone) in single.into_iter().map(|(n, zone)| (vec![n], zone)).chain([all]) {
        let share = similarity(drawing, &zone);
        if closest.as_ref().is_none_or(|(best, ..)| share.value() > best.value()) {
            closest = Some((share, numbers, marked(drawing, &zone)));
        }
    }
    let (similarity, closest, marked) = closest?;
    let strength = |s: u32, r: Strength| s + r.number();
    let covered =
        Share { part: reasons.iter().map(|r| r.strength).fold(0, strength), whole: drawing.marks().map(|(_, s)| s).fold(0, strength) };
    Some(Candidate { muscle, half, similarity, closest, covered, marked, reasons })
}

fn reason(spot: Spot, strength: Strength, zones: &[(u32, BTreeMap<Spot, Part>)]) -> Option<Reason> {
    let zones: Vec<(u32, Part)> = zones.iter().filter_map(|(n, zone)| Some((*n, *zone.get(&spot)?))).collect();
    (!zones.is_empty()).then_some(Reason { spot, strength, zones })
}

/// 1 minus the Bray-Curtis dissimilarity of drawing and zone.
fn similarity(drawing: &Drawing, zone: &BTreeMap<Spot, Part>) -> Share {
    let strongest = drawing.strongest();
    // In sixths: 2, 3, 4 or 6, without a remainder.
    let sixths = |s: Strength| 6 * s.number() / strongest;
    let (mut smaller, mut sum) = (0, zone.values().map(|p| p.weight()).sum());
    for (spot, strength) in drawing.marks() {
        sum += sixths(strength);
        smaller += zone.get(&spot).map_or(0, |part| part.weight().min(sixths(strength)));
    }
    Share { part: 2 * smaller, whole: sum }
}

fn marked(drawing: &Drawing, zone: &BTreeMap<Spot, Part>) -> Share {
    let weight = |(_, part): (&Spot, &Part)| part.weight();
    Share { part: zone.iter().filter(|(s, _)| drawing.at(**s).is_some()).map(weight).sum(), whole: zone.iter().map(weight).sum() }
}

fn flag_hits(catalog: &Catalog, drawing: &Drawing) -> Vec<FlagHit> {
    let hit = |(idx, flag): (Idx<Flag>, &Flag)| {
        let spots: Vec<Spot> = drawing.marks().map(|(s, _)| s).filter(|s| asked_at(flag, *s)).collect();
        (!spots.is_empty()).then_some(FlagHit { flag: idx, spots })
    };
    flags(catalog).into_iter().filter_map(hit).collect()
}

fn asked_at(flag: &Flag, spot: Spot) -> bool {
    flag.regions.all.iter().any(|p| p.meets(spot.place()))
}

/// Topics without a flag at any spot, marked or not, in the order of their words.
pub fn unasked_anywhere(catalog: &Catalog) -> Vec<Unasked> {
    unasked_at(catalog, Spot::all().into_iter())
}

/// Topics without a flag at a region, on either side.
pub fn unasked_in(catalog: &Catalog, region: RegionId) -> Vec<&'static str> {
    let spots = Spot::all().into_iter().filter(|s| s.region == region);
    unasked_at(catalog, spots).into_iter().map(|u| u.topic).collect()
}

fn unasked(catalog: &Catalog, drawing: &Drawing) -> Vec<Unasked> {
    unasked_at(catalog, drawing.marks().map(|(s, _)| s))
}

fn unasked_at(catalog: &Catalog, spots: impl Iterator<Item = Spot>) -> Vec<Unasked> {
    let mut out: BTreeMap<&'static str, Vec<Spot>> = BTreeMap::new();
    for spot in spots {
        for topic in &regions().get(spot.region).flags {
            let covers = |f: &Flag| f.covers.iter().any(|t| *t.value == **topic) && asked_at(f, spot);
            if !catalog.flags.rows().iter().any(covers) {
                out.entry(topic).or_default().push(spot);
            }
        }
    }
    out.into_iter().map(|(topic, spots)| Unasked { topic, spots }).collect()
}

#[cfg(test)]
mod tests;

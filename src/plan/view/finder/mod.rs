//! The finder: a page on which pain is marked, the data that its script looks things up in, and what a
//! drawing leads to, for the command.

pub mod data;
pub mod figure;
pub mod findings;

pub use findings::Findings;

use super::parts::{FlagGroup, Frame, Link};
use super::protocol::stop;
use crate::compute::finder::{Half, Part, flags, spots, zones};
use crate::model::region::{RegionId, regions};
use crate::model::{DocRef, Idx, Kind};
use crate::plan::site::{Site, doc};
use crate::plan::words::capital;
use serde::Serialize;
use std::collections::BTreeMap;

/// What page and command say before anything else.
pub const CAUTIONS: [&str; 3] = [
    "Red flags come first: ask them before anything else, whatever the list says.",
    "The list names places worth examining. It is no diagnosis, and its first line is not the answer: pain in a zone does not show which muscle it comes from, or that it comes from a muscle at all.",
    "Zones are what is commonly taught or reported in groups; a person may feel pain elsewhere. How many people feel a zone is not reported for most points.",
];

/// What the list of muscles under the marks is.
pub const UNDER: &str = "By name, without a measure: muscles whose place is named or drawn there, whether or not one of their zones is marked. That a muscle lies there says nothing about whether the pain comes from it.";

/// The measure in words.
pub const MEASURE: &str = "Similarity = 2 × the sum of the smaller values ÷ the sum of all values, over all regions of both sides: 1 minus the dissimilarity of Bray and Curtis. 1 means equal, 0 means that nothing is shared.";
/// What the values are.
pub const VALUES: &str = "A mark counts its strength ÷ the strongest mark of the drawing. A zone counts 1 in its core and 0.5 in its spread (house choice, no source). A muscle goes by the closest of its zones: that of each point alone, and those of all its points together. What is equally similar stands in order of names.";
/// Where the measure was published.
pub const PUBLISHED: &str =
    "Bray JR, Curtis JT. An ordination of the upland forest communities of southern Wisconsin. Ecological Monographs 1957; 27: 325–349.";

/// View of `finder.html`.
#[derive(Debug, Serialize)]
pub struct FinderPage {
    /// Frame.
    pub frame: Frame,
    /// Cautions.
    pub cautions: [&'static str; 3],
    /// Measure, values, publication.
    pub measure: [&'static str; 3],
    /// What the list of muscles under the marks is.
    pub under: &'static str,
    /// Every red flag, most urgent first.
    pub flags: Vec<FlagGroup>,
    /// Names of regions that no picture shows.
    pub not_drawn: Vec<String>,
    /// Pictures that work without script.
    pub plain: Vec<figure::Plain>,
    /// Every region with what may refer there, for reading without script.
    pub groups: Vec<GroupLine>,
}

/// A group of regions.
#[derive(Debug, Serialize)]
pub struct GroupLine {
    /// Name.
    pub name: String,
    /// Regions.
    pub regions: Vec<RegionLine>,
}

/// A region and the muscles that may refer there.
#[derive(Debug, Serialize)]
pub struct RegionLine {
    /// Page of the region.
    pub link: Link,
    /// Muscles.
    pub muscles: Vec<Referring>,
}

/// A muscle that may refer to a region.
#[derive(Debug, Serialize)]
pub struct Referring {
    /// Muscle.
    pub link: Link,
    /// `core` or `spread`.
    pub part: &'static str,
}

impl FinderPage {
    /// Makes the page.
    pub fn new(site: &Site<'_>) -> FinderPage {
        let catalog = site.catalog;
        let view = |idx| super::flag::view(site, idx, &catalog.packs[catalog.flags[idx].head.pack]);
        FinderPage {
            frame: site.frame("Finder"),
            cautions: CAUTIONS,
            measure: [MEASURE, VALUES, PUBLISHED],
            under: UNDER,
            flags: stop::flag_groups(flags(catalog).into_iter().map(|(idx, _)| view(idx)).collect()),
            not_drawn: figure::not_drawn(),
            plain: figure::plain(site),
            groups: groups(site),
        }
    }
}

/// Muscles by region, core before spread, whatever the side.
fn referring(site: &Site<'_>) -> BTreeMap<RegionId, Vec<(DocRef, Part)>> {
    let mut out: BTreeMap<RegionId, BTreeMap<usize, (DocRef, Part)>> = BTreeMap::new();
    for (order, (muscle, points)) in zones(site.catalog).into_iter().enumerate() {
        for (spot, part) in points.iter().flat_map(|(_, zone)| spots(zone, Half::Left)) {
            let entry = out.entry(spot.region).or_default().entry(order).or_insert((doc(Kind::Muscle, muscle), part));
            entry.1 = entry.1.max(part);
        }
    }
    out.into_iter().map(|(region, muscles)| (region, muscles.into_values().collect())).collect()
}

fn groups(site: &Site<'_>) -> Vec<GroupLine> {
    let (list, referring) = (regions(), referring(site));
    let muscles = |id| referring.get(&id).map(Vec::as_slice).unwrap_or_default();
    let line = |id: RegionId| RegionLine {
        link: super::region::link(site, id),
        muscles: muscles(id).iter().map(|(muscle, part)| Referring { link: site.link(*muscle), part: part.word() }).collect(),
    };
    let group = |g: &crate::model::region::Group| GroupLine {
        name: capital(&g.name),
        regions: list.ids().filter(|id| list.get(*id).group == g.id).map(line).collect(),
    };
    list.groups().iter().map(group).collect()
}

/// Row of a muscle as a link.
fn muscle_link(site: &Site<'_>, muscle: Idx<crate::model::docs::Muscle>) -> Link {
    site.link(doc(Kind::Muscle, muscle))
}

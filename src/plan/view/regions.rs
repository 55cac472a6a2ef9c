//! The list of regions: hazards, what lies there, what refers there.

use super::parts::{Frame, Link};
use crate::model::docs::Zone;
use crate::model::region::{RegionId, regions};
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc};
use serde::Serialize;

/// View of `regions.html`.
#[derive(Debug, Serialize)]
pub struct Regions {
    /// Frame.
    pub frame: Frame,
    /// Groups.
    pub groups: Vec<GroupView>,
}

/// A group of regions.
#[derive(Debug, Serialize)]
pub struct GroupView {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
    /// Latin name.
    pub latin: String,
    /// Regions.
    pub regions: Vec<RegionView>,
}

/// A region.
#[derive(Debug, Serialize)]
pub struct RegionView {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
    /// Latin name.
    pub latin: String,
    /// Tags.
    pub tags: Vec<String>,
    /// Hazards with the report behind each.
    pub hazards: Vec<HazardLine>,
    /// Muscles that lie there.
    pub muscles: Vec<Link>,
    /// Points that refer there.
    pub referred: Vec<Referred>,
    /// Protocols that treat there.
    pub protocols: Vec<Link>,
    /// Flags that belong there.
    pub flags: Vec<Link>,
}

/// A hazard of a region.
#[derive(Debug, Serialize)]
pub struct HazardLine {
    /// Text.
    pub text: String,
    /// Report.
    pub report: String,
}

/// A point that refers to a region.
#[derive(Debug, Serialize)]
pub struct Referred {
    /// Muscle.
    pub link: Link,
    /// Point number.
    pub point: u32,
    /// `core` or `spread`.
    pub part: &'static str,
}

impl Regions {
    /// Lists all regions.
    pub fn new(site: &Site<'_>) -> Regions {
        let list = regions();
        let group = |g: &crate::model::region::Group| GroupView {
            id: g.id.clone(),
            name: g.name.clone(),
            latin: g.latin.clone(),
            regions: list.ids().filter(|r| list.get(*r).group == g.id).map(|r| region(site, r)).collect(),
        };
        Regions { frame: site.frame("Regions"), groups: list.groups().iter().map(group).collect() }
    }
}

fn region(site: &Site<'_>, id: RegionId) -> RegionView {
    let r = regions().get(id);
    let catalog = site.catalog;
    let lies = catalog.muscles.iter().filter(|(_, m)| m.regions.all.iter().any(|p| p.region == id));
    let treats = |p: Idx<_>| site.facts.of(p).steps.iter().any(|s| s.is_treatment() && s.places.iter().any(|x| x.region == id));
    RegionView {
        id: r.id.clone(),
        name: r.name.clone(),
        latin: r.latin.clone(),
        tags: r.tags.iter().map(|t| t.word().replace('-', " ")).collect(),
        hazards: r.hazards.iter().map(|h| HazardLine { text: h.text.clone(), report: h.source.clone() }).collect(),
        muscles: lies.map(|(m, _)| site.link(doc(Kind::Muscle, m))).collect(),
        referred: referred(site, id),
        protocols: catalog.protocols.iter().filter(|(p, _)| treats(*p)).map(|(p, _)| site.link(doc(Kind::Protocol, p))).collect(),
        flags: catalog
            .flags
            .iter()
            .filter(|(_, f)| f.regions.all.iter().any(|p| p.region == id))
            .map(|(f, _)| site.link(doc(Kind::Flag, f)))
            .collect(),
    }
}

fn referred(site: &Site<'_>, id: RegionId) -> Vec<Referred> {
    let part = |z: &Zone| {
        let has = |places: &[crate::model::region::Place]| places.iter().any(|p| p.region == id);
        if has(&z.core.all) { Some("core") } else { has(&z.spread.all).then_some("spread") }
    };
    let mut out = Vec::new();
    for (m, muscle) in site.catalog.muscles.iter() {
        for point in &muscle.points {
            if let Some(part) = point.zone.as_ref().and_then(part) {
                out.push(Referred { link: site.link(doc(Kind::Muscle, m)), point: point.number.value, part });
            }
        }
    }
    out
}

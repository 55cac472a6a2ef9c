//! One region: red flags first, then what is at risk there, where it lies, and what lies, refers and is
//! treated there.

pub mod here;

use super::chart::ChartView;
use super::parts::{FlagGroup, Frame, GroundView, LimitView, Link};
use super::protocol::stop;
use crate::compute::finder;
use crate::compute::ledger::holds_at;
use crate::model::Kind;
use crate::model::docs::{Limit, NearHazard};
use crate::model::region::{Place, RegionId, Side, regions};
use crate::plan::site::{Site, doc};
use crate::plan::{route, words};
use here::{LiesHere, RefersHere, TreatsHere};
use serde::Serialize;

/// What every page of a region says of zones.
const CAUTION: &str = "A zone is where pain may be felt. It is no diagnosis: pain here does not show which muscle it comes from, or that it comes from a muscle at all.";

/// View of `region.html`.
#[derive(Debug, Serialize)]
pub struct RegionPage {
    /// Frame.
    pub frame: Frame,
    /// Latin name.
    pub latin: String,
    /// `left and right` or `on the midline`.
    pub sides: &'static str,
    /// What zones do not say.
    pub caution: &'static str,
    /// Red flags, most urgent first.
    pub flags: Vec<FlagGroup>,
    /// Topics that the list of regions asks for and no flag covers.
    pub unasked: Vec<String>,
    /// Tags with what they mean for treatment.
    pub tags: Vec<TagLine>,
    /// Hazards of the list of regions with the report behind each.
    pub hazards: Vec<HazardLine>,
    /// Hazards that the packs write for muscles near it.
    pub near: Vec<NearLine>,
    /// Where it lies; none if no view shows it.
    pub chart: Option<ChartView>,
    /// Neighbours.
    pub next: Vec<Link>,
    /// What lies here.
    pub muscles: Vec<LiesHere>,
    /// What may refer here.
    pub zones: Vec<RefersHere>,
    /// What treats here.
    pub protocols: Vec<TreatsHere>,
    /// Limits of this region or of its tags.
    pub limits: Vec<LimitSet>,
    /// The finder.
    pub finder: String,
}

/// A tag.
#[derive(Debug, Serialize)]
pub struct TagLine {
    /// Word.
    pub word: String,
    /// What it means for treatment.
    pub means: &'static str,
}

/// A hazard of the list of regions.
#[derive(Debug, Serialize)]
pub struct HazardLine {
    /// Text.
    pub text: String,
    /// Report.
    pub report: String,
}

/// A hazard that a muscle of a pack brings.
#[derive(Debug, Serialize)]
pub struct NearLine {
    /// Text.
    pub text: String,
    /// Muscle.
    pub muscle: Link,
    /// Ground.
    pub ground: GroundView,
}

/// Limits of one pack or technique.
#[derive(Debug, Serialize)]
pub struct LimitSet {
    /// Whose.
    pub whose: Link,
    /// Limits.
    pub limits: Vec<LimitView>,
}

/// Word of a tag for people.
pub fn tag_word(tag: crate::model::region::Tag) -> String {
    tag.word().replace('-', " ")
}

/// Link to the page of a region.
pub fn link(site: &Site<'_>, id: RegionId) -> Link {
    let region = regions().get(id);
    Link { text: words::capital(&region.name), href: site.to(&route::region(id)) }
}

impl RegionPage {
    /// Shows a region.
    pub fn new(site: &Site<'_>, id: RegionId) -> RegionPage {
        let catalog = site.catalog;
        let region = regions().get(id);
        let flag = |idx| super::flag::view(site, idx, &catalog.packs[catalog.flags[idx].head.pack]);
        RegionPage {
            frame: frame(site, id),
            latin: region.latin.clone(),
            sides: if region.paired { "left and right" } else { "on the midline" },
            caution: CAUTION,
            flags: stop::flag_groups(here::flags(site, id).into_iter().map(flag).collect()),
            unasked: finder::unasked_in(catalog, id).into_iter().map(|t| t.replace('-', " ")).collect(),
            tags: region.tags.iter().map(|t| TagLine { word: tag_word(*t), means: words::tag_means(*t) }).collect(),
            hazards: region.hazards.iter().map(|h| HazardLine { text: h.text.clone(), report: h.source.clone() }).collect(),
            near: near(site, id),
            chart: chart(site, id),
            next: region.next.iter().map(|n| link(site, *n)).collect(),
            muscles: here::muscles(site, id),
            zones: here::zones(site, id),
            protocols: here::protocols(site, id),
            limits: limits(site, id),
            finder: site.to(route::FINDER),
        }
    }
}

/// Frame with the way through the body part.
fn frame(site: &Site<'_>, id: RegionId) -> Frame {
    let (list, region) = (regions(), regions().get(id));
    let mut frame = site.frame(&words::capital(&region.name));
    frame.kind = Some("region");
    frame.crumbs.push(Link { text: "Regions".into(), href: site.to(route::REGIONS) });
    let part = list.body_part(id);
    let groups = list.groups().iter().filter(|g| g.id == part || g.id == region.group);
    let crumb = |g: &crate::model::region::Group| Link { text: g.name.clone(), href: site.to(&route::body_part(&g.id)) };
    frame.crumbs.extend(groups.map(crumb));
    frame
}

/// The chart; who sees no picture has the list of neighbours below it.
fn chart(site: &Site<'_>, id: RegionId) -> Option<ChartView> {
    let mut chart = super::chart::of_region(site, id)?;
    let region = regions().get(id);
    let mirror = if region.paired { " on the right; the left is its mirror image" } else { "" };
    chart.caption.push(format!("The region is shaded within a strong line{mirror}. What lies next to it stands below."));
    Some(chart)
}

fn near(site: &Site<'_>, id: RegionId) -> Vec<NearLine> {
    let here = |h: &&NearHazard| h.regions.all.iter().any(|p| p.region == id);
    let of = |(idx, muscle): (_, &crate::model::docs::Muscle)| {
        let line = |h: &NearHazard| NearLine {
            text: h.text.value.to_string(),
            muscle: site.link(doc(Kind::Muscle, idx)),
            ground: site.ground(&h.ground),
        };
        muscle.hazards.iter().filter(here).map(line).collect::<Vec<_>>()
    };
    site.catalog.muscles.iter().flat_map(of).collect()
}

/// Limits that name this region or one of its tags; those for everywhere stand with their pack and technique.
fn limits(site: &Site<'_>, id: RegionId) -> Vec<LimitSet> {
    let side = if regions().get(id).paired { Side::Both } else { Side::Midline };
    let place = Place { region: id, side };
    let here = |l: &&Limit| !(l.regions.all.is_empty() && l.tags.is_empty()) && holds_at(l, &[place]);
    let set = |whose: Link, all: &[Limit]| {
        let own: Vec<Limit> = all.iter().filter(here).cloned().collect();
        (!own.is_empty()).then(|| LimitSet { whose, limits: site.limits(&own) })
    };
    let house = site.catalog.packs.rows().iter().filter_map(|p| {
        let href = format!("{}#pack-{}", site.to(route::HOME), p.head.id.value);
        set(Link { text: format!("House limits, {}", p.title.value), href }, &p.limits)
    });
    let techniques = site.catalog.techniques.iter().filter_map(|(idx, t)| set(site.link(doc(Kind::Technique, idx)), &t.limits));
    house.chain(techniques).collect()
}

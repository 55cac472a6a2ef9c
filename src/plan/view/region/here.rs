//! What the packs say of one region: red flags, muscles that lie there, points that refer there, protocols
//! that treat there. The page of the region and the overview both take it from here.

use crate::chart::chart;
use crate::compute::chart::zone::Areas;
use crate::compute::finder;
use crate::compute::steps::StepFacts;
use crate::model::docs::{Flag, Muscle, Point, Protocol};
use crate::model::region::{Place, RegionId, Side};
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc, text};
use crate::plan::view::parts::{GroundView, Link};
use crate::plan::words;
use serde::Serialize;

/// A muscle that lies in a region.
#[derive(Debug, Serialize)]
pub struct LiesHere {
    /// Muscle.
    pub link: Link,
    /// By words or by outline, and how much of the region the outline covers.
    pub how: String,
}

/// A point that may refer pain to a region.
#[derive(Debug, Serialize)]
pub struct RefersHere {
    /// The point on the page of its muscle.
    pub link: Link,
    /// Core or spread, and on which side.
    pub how: String,
    /// Share of people who feel it, if the pack reports one.
    pub share: Option<String>,
    /// What the zone rests on.
    pub ground: GroundView,
}

/// A protocol that treats a region.
#[derive(Debug, Serialize)]
pub struct TreatsHere {
    /// Protocol.
    pub link: Link,
    /// Stressors of the steps that act there.
    pub stressors: String,
    /// These steps.
    pub steps: String,
}

/// Red flags of a region, most urgent first.
pub fn flags(site: &Site<'_>, id: RegionId) -> Vec<Idx<Flag>> {
    let here = |f: &Flag| f.regions.all.iter().any(|p| p.region == id);
    finder::flags(site.catalog).into_iter().filter(|(_, f)| here(f)).map(|(idx, _)| idx).collect()
}

/// Muscles that lie in a region, by words or by a drawn outline.
pub fn muscles(site: &Site<'_>, id: RegionId) -> Vec<LiesHere> {
    let view = |(idx, m): (Idx<Muscle>, &Muscle)| Some(LiesHere { how: lies(site, id, idx, m)?, link: site.link(doc(Kind::Muscle, idx)) });
    site.catalog.muscles.iter().filter_map(view).collect()
}

fn lies(site: &Site<'_>, id: RegionId, idx: Idx<Muscle>, muscle: &Muscle) -> Option<String> {
    let named = muscle.regions.all.iter().any(|p| p.region == id);
    let drawings = muscle.chart.iter().zip(&site.facts.chart.of(idx).drawings);
    let covers: Vec<String> = drawings
        .flat_map(|(drawing, covered)| covered.iter().map(move |c| (drawing.view.value, c)))
        .filter(|(_, c)| c.place.region == id && c.counts())
        .filter_map(|(view, c)| Some(cover(c.of_region, &chart().view(view)?.name, c.place.side)))
        .collect();
    let drawn = muscle.chart.iter().any(|d| d.outline.is_some());
    match (named, covers.is_empty()) {
        (true, false) => Some(format!("by words and by its outline, which covers {}", covers.join(", "))),
        (false, false) => Some(format!("by its outline only, which covers {}", covers.join(", "))),
        (true, true) if drawn => Some("by words; its drawn outline covers little or none of the region".into()),
        (true, true) => Some("by words; no outline is drawn".into()),
        (false, true) => None,
    }
}

fn cover(share: f64, view: &str, side: Side) -> String {
    let percent = (share * 100.0).round().clamp(1.0, 100.0);
    let other = if side == Side::Other { ", on the other side" } else { "" };
    format!("about {percent}\u{a0}% of the region ({} view{other})", view.to_lowercase())
}

/// Points that may refer pain to a region, in words or as drawn.
pub fn zones(site: &Site<'_>, id: RegionId) -> Vec<RefersHere> {
    let mut out = Vec::new();
    for (idx, muscle) in site.catalog.muscles.iter() {
        for (point, facts) in muscle.points.iter().zip(&site.facts.chart.of(idx).points) {
            let (Some(zone), Some(areas)) = (&point.zone, &facts.zone) else { continue };
            let parts: Vec<String> = [("core", &areas.core), ("spread", &areas.spread)]
                .into_iter()
                .filter_map(|(part, areas)| sides(areas, id).map(|sides| format!("{part}{sides}")))
                .collect();
            if parts.is_empty() {
                continue;
            }
            let worded = zone.core.all.iter().chain(&zone.spread.all).any(|p| p.region == id);
            let drawn = if worded { "" } else { ", by its drawing only" };
            let how = format!("{}{drawn}", parts.join(" and "));
            out.push(RefersHere { link: point_link(site, idx, point), how, share: text(&zone.share), ground: site.ground(&zone.ground) });
        }
    }
    out
}

fn point_link(site: &Site<'_>, muscle: Idx<Muscle>, point: &Point) -> Link {
    let link = site.link(doc(Kind::Muscle, muscle));
    let number = point.number.value;
    Link { text: format!("{}, point {number}", link.text), href: format!("{}#point-{number}", link.href) }
}

/// The sides of a region that these areas hold, as an addition to a word; `None` if none.
fn sides(areas: &Areas, id: RegionId) -> Option<String> {
    let word = |place: &Place| match place.side {
        Side::Same => Some("same side"),
        Side::Other => Some("other side"),
        Side::Left => Some("left"),
        Side::Right => Some("right"),
        Side::Both => Some("both sides"),
        Side::Midline => None,
    };
    let here: Vec<&Place> = areas.keys().filter(|p| p.region == id).collect();
    let words: Vec<&str> = here.iter().filter_map(|p| word(p)).collect();
    (!here.is_empty()).then(|| if words.is_empty() { String::new() } else { format!(" ({})", words.join(" and ")) })
}

/// Protocols with a treatment step or home item in a region.
pub fn protocols(site: &Site<'_>, id: RegionId) -> Vec<TreatsHere> {
    site.catalog.protocols.iter().filter_map(|(idx, p)| treats(site, id, idx, p)).collect()
}

fn treats(site: &Site<'_>, id: RegionId, idx: Idx<Protocol>, protocol: &Protocol) -> Option<TreatsHere> {
    let facts = site.facts.of(idx);
    let acts = |s: &StepFacts| s.is_treatment() && s.places.iter().any(|p| p.region == id);
    let steps: Vec<String> =
        facts.steps.iter().zip(&protocol.steps).filter(|(f, _)| acts(f)).map(|(_, s)| s.number.value.to_string()).collect();
    let home: Vec<String> = facts.home.iter().zip(1..).filter(|(f, _)| acts(f)).map(|(_, n): (_, usize)| n.to_string()).collect();
    let mut stressors: Vec<_> =
        facts.steps.iter().chain(&facts.home).filter(|s| acts(s)).flat_map(|s| s.loads.iter().map(|l| l.stressor)).collect();
    stressors.sort_unstable();
    stressors.dedup();
    let lists = [words::numbered("step", "steps", &steps), words::numbered("home item", "home items", &home)];
    let lists: Vec<String> = lists.into_iter().filter(|l| !l.is_empty()).collect();
    (!lists.is_empty()).then(|| TreatsHere {
        link: site.link(doc(Kind::Protocol, idx)),
        stressors: stressors.iter().map(|s| s.word()).collect::<Vec<_>>().join(", "),
        steps: lists.join("; "),
    })
}

//! What a drawing leads to, in the form in which the command shows it.

use super::{CAUTIONS, MEASURE, PUBLISHED, VALUES, muscle_link};
use crate::compute::Facts;
use crate::compute::finder::{self, Candidate, Drawing, FlagHit, Spot, Strength};
use crate::error::ToolError;
use crate::model::Catalog;
use crate::model::region::regions;
use crate::plan::references::References;
use crate::plan::site::Site;
use crate::plan::{route, words};
use serde::Serialize;

/// Everything that `fascicle find` says.
#[derive(Debug, Serialize)]
pub struct Findings {
    /// Version of this form.
    pub version: u32,
    /// What was marked.
    pub marks: Vec<Mark>,
    /// Cautions.
    pub cautions: Vec<&'static str>,
    /// Measure, values, publication.
    pub measure: [&'static str; 3],
    /// Red flags, most urgent first.
    pub flags: Vec<Flag>,
    /// Topics that no red flag covers.
    pub not_covered: Vec<Topic>,
    /// Muscles, closest first.
    pub muscles: Vec<Muscle>,
    /// Muscles that lie under the marks, by name.
    pub under: Vec<Lying>,
}

/// A muscle of a side that lies under marks.
#[derive(Debug, Serialize)]
pub struct Lying {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
    /// `left` or `right`.
    pub side: &'static str,
    /// Page, from the top folder of the site.
    pub page: String,
    /// Marked spots.
    pub at: Vec<Where>,
}

/// A spot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Where {
    /// Id of the region.
    pub region: &'static str,
    /// `left`, `right` or `midline`.
    pub side: &'static str,
    /// Name with side.
    pub name: String,
}

/// A marked spot.
#[derive(Debug, Serialize)]
pub struct Mark {
    /// The spot.
    pub at: Where,
    /// 1 to 3.
    pub strength: u32,
    /// `weak`, `moderate` or `strong`.
    pub word: &'static str,
}

/// A red flag with what to do.
#[derive(Debug, Serialize)]
pub struct Flag {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
    /// Page, from the top folder of the site.
    pub page: String,
    /// Urgency.
    pub urgency: &'static str,
    /// Time limit.
    pub clock: &'static str,
    /// Where the person is sent.
    pub destination: String,
    /// How.
    pub how: Option<String>,
    /// What to ask.
    pub question: String,
    /// What to do if the answer is yes.
    pub meanwhile: String,
    /// Marked spots that it is asked for.
    pub at: Vec<Where>,
}

/// A topic that no red flag covers at these spots.
#[derive(Debug, Serialize)]
pub struct Topic {
    /// Topic.
    pub topic: String,
    /// Marked spots.
    pub at: Vec<Where>,
}

/// A muscle of a side.
#[derive(Debug, Serialize)]
pub struct Muscle {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
    /// `left` or `right`.
    pub side: &'static str,
    /// Page, from the top folder of the site.
    pub page: String,
    /// Similarity, from 0 to 1.
    pub similarity: f64,
    /// Share of the marked strength that lies in its zones, from 0 to 1.
    pub covered: f64,
    /// Share of the closest zone that is marked, from 0 to 1.
    pub marked: f64,
    /// Points of the closest zone.
    pub closest: Vec<u32>,
    /// Reasons region by region.
    pub reasons: Vec<Reason>,
    /// Muscles with a core that shares half or more of the smaller one.
    pub look_alikes: Vec<Other>,
}

/// Another muscle.
#[derive(Debug, Serialize)]
pub struct Other {
    /// Name.
    pub name: String,
    /// Page, from the top folder of the site.
    pub page: String,
}

/// A marked spot inside zones of the muscle.
#[derive(Debug, Serialize)]
pub struct Reason {
    /// The spot.
    pub at: Where,
    /// 1 to 3.
    pub strength: u32,
    /// Points, and the part of the zone.
    pub zones: Vec<Zone>,
}

/// A zone that holds a spot.
#[derive(Debug, Serialize)]
pub struct Zone {
    /// Number of the point.
    pub point: u32,
    /// `core` or `spread`.
    pub part: &'static str,
}

fn at(spot: Spot) -> Where {
    Where { region: &regions().get(spot.region).id, side: spot.side(), name: spot.shown() }
}

impl Findings {
    /// Looks a drawing up.
    ///
    /// # Errors
    /// When a shipped style of references is broken.
    pub fn new(catalog: &Catalog, facts: &Facts, drawing: &Drawing) -> Result<Findings, ToolError> {
        let references = &References::of(catalog)?;
        let site = Site { catalog, facts, references, path: route::HOME };
        let found = finder::find(catalog, drawing);
        let mark = |(spot, s): (Spot, Strength)| Mark { at: at(spot), strength: s.number(), word: s.word() };
        let topic = |u: &finder::Unasked| Topic { topic: u.topic.replace('-', " "), at: u.spots.iter().map(|s| at(*s)).collect() };
        Ok(Findings {
            version: 1,
            marks: drawing.marks().map(mark).collect(),
            cautions: CAUTIONS.into_iter().chain([words::USE_NOTE]).collect(),
            measure: [MEASURE, VALUES, PUBLISHED],
            flags: found.flags.iter().map(|f| flag(&site, f)).collect(),
            not_covered: found.unasked.iter().map(topic).collect(),
            muscles: found.candidates.iter().map(|c| muscle(&site, c)).collect(),
            under: finder::under(catalog, &facts.chart, drawing).iter().map(|l| lying(&site, l)).collect(),
        })
    }
}

fn flag(site: &Site<'_>, hit: &FlagHit) -> Flag {
    let doc = &site.catalog.flags[hit.flag];
    let view = super::super::flag::view(site, hit.flag, &site.catalog.packs[doc.head.pack]);
    Flag {
        id: view.id,
        name: view.link.text,
        page: view.link.href,
        urgency: view.urgency.word,
        clock: view.clock,
        destination: view.destination,
        how: view.how,
        question: view.question,
        meanwhile: view.meanwhile,
        at: hit.spots.iter().map(|s| at(*s)).collect(),
    }
}

fn lying(site: &Site<'_>, found: &finder::Lying) -> Lying {
    let link = muscle_link(site, found.muscle);
    Lying {
        id: site.catalog.muscles[found.muscle].head.id.value.to_string(),
        name: link.text,
        side: found.half.word(),
        page: link.href,
        at: found.spots.iter().map(|s| at(*s)).collect(),
    }
}

fn muscle(site: &Site<'_>, candidate: &Candidate) -> Muscle {
    let zone = |(point, part): &(u32, finder::Part)| Zone { point: *point, part: part.word() };
    let reason = |r: &finder::Reason| Reason { at: at(r.spot), strength: r.strength.number(), zones: r.zones.iter().map(zone).collect() };
    let link = muscle_link(site, candidate.muscle);
    let other = |(muscle, _): &(crate::model::Idx<_>, _)| {
        let link = muscle_link(site, *muscle);
        Other { name: link.text, page: link.href }
    };
    Muscle {
        id: site.catalog.muscles[candidate.muscle].head.id.value.to_string(),
        name: link.text,
        side: candidate.half.word(),
        page: link.href,
        similarity: candidate.similarity.value(),
        covered: candidate.covered.value(),
        marked: candidate.marked.value(),
        closest: candidate.closest.clone(),
        reasons: candidate.reasons.iter().map(reason).collect(),
        look_alikes: site.facts.chart.look_alikes(candidate.muscle).iter().map(other).collect(),
    }
}

//! A red flag.

use super::parts::{FlagGroup, FlagView, Frame, GroundView, Link, LinkGroup, Mark};
use super::protocol::stop;
use super::sources::{SourceLine, cited_by};
use crate::model::docs::{Flag, Pack};
use crate::model::vocabulary::Urgency;
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc, places, text, texts};
use crate::plan::words;
use serde::Serialize;

/// View of `flag.html`.
#[derive(Debug, Serialize)]
pub struct FlagPage {
    /// Frame.
    pub frame: Frame,
    /// The flag as protocols show it.
    pub flags: Vec<FlagGroup>,
    /// Presentation.
    pub presentation: String,
    /// Topics.
    pub covers: Vec<String>,
    /// Regions.
    pub regions: Vec<String>,
    /// What becomes of treatment.
    pub treatment: String,
    /// Year of the guidance and when it was looked up.
    pub guidance: Option<String>,
    /// Ground.
    pub ground: GroundView,
    /// Protocols that carry it.
    pub protocols: Vec<Link>,
    /// Sources that it cites.
    pub sources: Vec<SourceLine>,
    /// Who refers here.
    pub used_by: Vec<LinkGroup>,
}

/// Name and way of a destination, in the words of the pack.
pub fn destination(pack: &Pack, flag: &Flag) -> (String, Option<String>) {
    let id = text(&flag.destination).unwrap_or_default();
    let found = pack.destinations.iter().find(|d| *d.id.value == *id);
    let emergency = flag.urgency == Some(Urgency::Now);
    match found {
        Some(d) => {
            let number = pack.emergency.as_ref().filter(|_| emergency && &*d.id.value == "emergency-service");
            let name = number.map_or(d.name.value.to_string(), |n| format!("{}, {}", d.name.value, n.value));
            (name, Some(d.how.value.to_string()))
        }
        None => (id.replace('-', " "), None),
    }
}

/// A flag with the destination of a pack.
pub fn view(site: &Site<'_>, idx: Idx<Flag>, pack: &Pack) -> FlagView {
    let flag = &site.catalog.flags[idx];
    let (destination, how) = destination(pack, flag);
    let urgency = flag.urgency.map_or(Mark { word: "at once", shape: "octagon", class: "urgency-now" }, words::urgency);
    FlagView {
        id: flag.head.id.value.to_string(),
        link: site.link(doc(Kind::Flag, idx)),
        question: flag.question.value.to_string(),
        sign: text(&flag.sign),
        urgency,
        clock: flag.urgency.unwrap_or(Urgency::Now).clock(),
        destination,
        how,
        meanwhile: flag.meanwhile.value.to_string(),
        say: text(&flag.say),
        write: text(&flag.write),
        safety_net: text(&flag.safety_net),
        because: Vec::new(),
        note: None,
        trace: None,
    }
}

impl FlagPage {
    /// Shows a flag.
    pub fn new(site: &Site<'_>, idx: Idx<Flag>) -> FlagPage {
        let flag = &site.catalog.flags[idx];
        let own = doc(Kind::Flag, idx);
        let carries = |(p, _): &(Idx<_>, _)| site.facts.of(*p).flags.flags.iter().any(|f| f.flag == idx);
        let checked = flag.guidance_checked.as_ref().map(|d| format!(", looked up {}", d.value)).unwrap_or_default();
        FlagPage {
            frame: site.doc_frame(own),
            flags: stop::flag_groups(vec![view(site, idx, &site.catalog.packs[flag.head.pack])]),
            presentation: flag.presentation.value.to_string(),
            covers: texts(&flag.covers).into_iter().map(|t| t.replace('-', " ")).collect(),
            regions: places(&flag.regions.all),
            treatment: flag.treatment.value.to_string(),
            guidance: flag.guidance_year.as_ref().map(|y| format!("{}{checked}", y.value)),
            ground: site.ground(&flag.ground),
            protocols: site.catalog.protocols.iter().filter(carries).map(|(p, _)| site.link(doc(Kind::Protocol, p))).collect(),
            sources: cited_by(site, &[own]),
            used_by: site.used_by(own).into_iter().filter(|g| g.heading != "Protocols").collect(),
        }
    }
}

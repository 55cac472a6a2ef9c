//! A population: wider and narrower ones, and what was studied and asked about it.

use super::parts::{Frame, Link, LinkGroup};
use crate::compute::appraisal::is_invented;
use crate::model::docs::Population;
use crate::model::{DocRef, Idx, Kind};
use crate::plan::site::{Site, doc, text};
use serde::Serialize;

/// View of `population.html`.
#[derive(Debug, Serialize)]
pub struct PopulationPage {
    /// Frame.
    pub frame: Frame,
    /// Who belongs to it.
    pub about: Option<String>,
    /// Wider populations, the widest first.
    pub wider: Vec<Link>,
    /// Populations directly inside it.
    pub narrower: Vec<Link>,
    /// Questions about it.
    pub questions: Vec<Link>,
    /// Sources that studied it.
    pub sources: Vec<Link>,
    /// Questions and sources that were made up.
    pub invented: Vec<Link>,
    /// Who else refers here.
    pub used_by: Vec<LinkGroup>,
}

impl PopulationPage {
    /// Shows a population.
    pub fn new(site: &Site<'_>, idx: Idx<Population>) -> PopulationPage {
        let population = &site.catalog.populations[idx];
        let own = doc(Kind::Population, idx);
        let inside = site.catalog.populations.iter().filter(|(_, p)| p.within.as_ref().and_then(|w| w.to) == Some(idx));
        let mut narrower: Vec<Link> = inside.map(|(i, _)| site.link(doc(Kind::Population, i))).collect();
        narrower.sort();
        let headings: Vec<&str> = [Kind::Population, Kind::Question, Kind::Source].map(crate::plan::route::heading).to_vec();
        let users = site.catalog.used_by(own);
        let made_up = |d: &DocRef| is_invented(site.catalog, *d);
        let of = |kind: Kind| site.links(users.iter().copied().filter(|d| d.kind == kind && !made_up(d)));
        PopulationPage {
            frame: site.doc_frame(own),
            about: text(&population.about),
            wider: wider(site, idx),
            narrower,
            questions: of(Kind::Question),
            sources: of(Kind::Source),
            invented: site.links(users.iter().copied().filter(made_up)),
            used_by: site.used_by(own).into_iter().filter(|g| !headings.contains(&g.heading)).collect(),
        }
    }
}

fn wider(site: &Site<'_>, idx: Idx<Population>) -> Vec<Link> {
    let mut out = Vec::new();
    let mut at = idx;
    // A circle among populations is a finding of its own; here it only has to end.
    while let Some(next) =
        site.catalog.populations[at].within.as_ref().and_then(|w| w.to).filter(|n| *n != idx && out.len() < site.catalog.populations.len())
    {
        out.push(site.link(doc(Kind::Population, next)));
        at = next;
    }
    out.reverse();
    out
}

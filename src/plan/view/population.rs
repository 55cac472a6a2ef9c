//! A population.

use super::parts::{Frame, Link, LinkGroup};
use crate::model::docs::Population;
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc, text};
use serde::Serialize;

/// View of `population.html`.
#[derive(Debug, Serialize)]
pub struct PopulationPage {
    /// Frame.
    pub frame: Frame,
    /// Who belongs to it.
    pub about: Option<String>,
    /// The wider population.
    pub within: Option<Link>,
    /// Who refers here.
    pub used_by: Vec<LinkGroup>,
}

impl PopulationPage {
    /// Shows a population.
    pub fn new(site: &Site<'_>, idx: Idx<Population>) -> PopulationPage {
        let population = &site.catalog.populations[idx];
        let own = doc(Kind::Population, idx);
        PopulationPage {
            frame: site.doc_frame(own),
            about: text(&population.about),
            within: population.within.as_ref().and_then(|w| site.follow(Kind::Population, w)),
            used_by: site.used_by(own),
        }
    }
}

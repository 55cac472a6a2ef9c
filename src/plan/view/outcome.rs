//! An outcome.

use super::parts::{Frame, LinkGroup};
use crate::model::docs::Outcome;
use crate::model::evidence::Better;
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc, texts};
use serde::Serialize;

/// View of `outcome.html`.
#[derive(Debug, Serialize)]
pub struct OutcomePage {
    /// Frame.
    pub frame: Frame,
    /// Other names.
    pub other_names: Vec<String>,
    /// What it is.
    pub about: String,
    /// Which way is better, in words.
    pub better: &'static str,
    /// Who refers here.
    pub used_by: Vec<LinkGroup>,
}

impl OutcomePage {
    /// Shows an outcome.
    pub fn new(site: &Site<'_>, idx: Idx<Outcome>) -> OutcomePage {
        let outcome = &site.catalog.outcomes[idx];
        let own = doc(Kind::Outcome, idx);
        OutcomePage {
            frame: site.doc_frame(own),
            other_names: texts(&outcome.other_names),
            about: outcome.about.value.to_string(),
            better: match outcome.better {
                Some(Better::Higher) => "A higher value is better.",
                Some(Better::Lower) => "A lower value is better.",
                None => "",
            },
            used_by: site.used_by(own),
        }
    }
}

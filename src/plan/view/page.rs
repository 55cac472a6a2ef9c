//! A page of free text.

use super::parts::{Frame, LinkGroup, Prose};
use crate::model::docs::Page;
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc};
use serde::Serialize;

/// View of `page.html`.
#[derive(Debug, Serialize)]
pub struct TextPage {
    /// Frame.
    pub frame: Frame,
    /// Text without its title.
    pub body: Prose,
    /// Who refers here.
    pub used_by: Vec<LinkGroup>,
}

impl TextPage {
    /// Shows a page.
    pub fn new(site: &Site<'_>, idx: Idx<Page>) -> TextPage {
        let page = &site.catalog.pages[idx];
        let body = page.body.value.split_once('\n').map_or("", |(_, rest)| rest);
        let own = doc(Kind::Page, idx);
        TextPage { frame: site.doc_frame(own), body: site.prose(body, 0), used_by: site.used_by(own) }
    }
}

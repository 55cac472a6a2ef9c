//! What an educator needs beside the reference: coverage, mark sheets, leaflets, errata, glossary, muscles side by side,
//! editions. Everything is made from the same documents and the same computed values as the pages.

pub mod coverage;
pub mod editions;
pub mod errata;
pub mod glossary;
pub mod leaflet;
pub mod mark_sheet;
pub mod side_by_side;

use super::parts::{Frame, Link};
use crate::compute::chart::to_tell_apart;
use crate::model::docs::{Muscle, Protocol};
use crate::model::{Idx, Kind};
use crate::plan::route;
use crate::plan::site::{Site, doc};
use serde::Serialize;

/// A page of the course and, through its variant, its template.
#[derive(Debug)]
pub enum CourseView {
    /// What there is, with links to all of it.
    Overview(Overview),
    /// Coverage.
    Coverage(coverage::CoveragePage),
    /// Mark sheet.
    MarkSheet(mark_sheet::MarkSheet),
    /// Leaflet.
    Leaflet(leaflet::LeafletPage),
    /// Errata.
    Errata(errata::ErrataPage),
    /// Glossary.
    Glossary(glossary::GlossaryPage),
    /// Two muscles.
    SideBySide(side_by_side::SideBySide),
    /// Editions.
    Editions(editions::EditionsPage),
}

impl CourseView {
    /// Name of the template that lays it out.
    pub fn template(&self) -> &'static str {
        match self {
            CourseView::Overview(_) => "course.html",
            CourseView::Coverage(_) => "coverage.html",
            CourseView::MarkSheet(_) => "mark_sheet.html",
            CourseView::Leaflet(_) => "leaflet.html",
            CourseView::Errata(_) => "errata.html",
            CourseView::Glossary(_) => "glossary.html",
            CourseView::SideBySide(_) => "side_by_side.html",
            CourseView::Editions(_) => "editions.html",
        }
    }
}

impl Serialize for CourseView {
    fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        match self {
            CourseView::Overview(v) => v.serialize(to),
            CourseView::Coverage(v) => v.serialize(to),
            CourseView::MarkSheet(v) => v.serialize(to),
            CourseView::Leaflet(v) => v.serialize(to),
            CourseView::Errata(v) => v.serialize(to),
            CourseView::Glossary(v) => v.serialize(to),
            CourseView::SideBySide(v) => v.serialize(to),
            CourseView::Editions(v) => v.serialize(to),
        }
    }
}

/// View of `course.html`.
#[derive(Debug, Serialize)]
pub struct Overview {
    /// Frame.
    pub frame: Frame,
    /// Pages for the whole course, each with what it is for.
    pub pages: Vec<(Link, &'static str)>,
    /// Mark sheet and leaflet of each protocol.
    pub sheets: Vec<Sheets>,
    /// Pairs of muscles side by side.
    pub pairs: Vec<Link>,
}

/// What is printed for a protocol.
#[derive(Debug, Serialize)]
pub struct Sheets {
    /// The protocol.
    pub protocol: Link,
    /// Its mark sheet.
    pub mark_sheet: String,
    /// Its leaflet, if it has one.
    pub leaflet: Option<String>,
}

/// The overview.
pub fn overview(site: &Site<'_>) -> Overview {
    let page = |path: &str, text: &str, what| (Link { text: text.into(), href: site.to(path) }, what);
    let sheets = site.catalog.protocols.iter().filter_map(|(idx, _)| {
        let mark_sheet = mark_sheet(site, idx)?;
        Some(Sheets { protocol: site.link(doc(Kind::Protocol, idx)), mark_sheet, leaflet: leaflet(site, idx) })
    });
    Overview {
        frame: site.frame("Course"),
        pages: vec![
            page(route::COVERAGE, "Coverage", "what there is of each muscle, and which protocols use each technique"),
            page(route::GLOSSARY, "Glossary", "what the words mean here, units, plain and Latin names"),
            page(route::ERRATA, "Errata", "mistakes in published editions, with what is right"),
            page(route::EDITIONS, "Editions", "which editions were kept, and what changed from one to the next"),
        ],
        sheets: sheets.collect(),
        pairs: to_tell_apart(site.catalog, &site.facts.chart).into_iter().map(|(a, b)| pair(site, a, b)).collect(),
    }
}

/// Address of the mark sheet of a protocol; a retired one has none, as it has no card.
pub fn mark_sheet(site: &Site<'_>, protocol: Idx<Protocol>) -> Option<String> {
    site.card(doc(Kind::Protocol, protocol))?;
    Some(site.to(&route::mark_sheet(&site.catalog.protocols[protocol].head.id.value)))
}

/// Address of the leaflet of a protocol that has the text of one.
pub fn leaflet(site: &Site<'_>, protocol: Idx<Protocol>) -> Option<String> {
    site.card(doc(Kind::Protocol, protocol))?;
    let p = &site.catalog.protocols[protocol];
    p.leaflet.as_ref().map(|_| site.to(&route::leaflet(&p.head.id.value)))
}

/// Link to two muscles side by side.
fn pair(site: &Site<'_>, a: Idx<Muscle>, b: Idx<Muscle>) -> Link {
    let (one, two) = (&site.catalog.muscles[a], &site.catalog.muscles[b]);
    let path = route::side_by_side(&one.head.id.value, &two.head.id.value);
    Link { text: format!("{} and {}", one.name.value, two.name.value), href: site.to(&path) }
}

/// Links from a muscle to every page on which it stands beside another.
pub fn beside(site: &Site<'_>, muscle: Idx<Muscle>) -> Vec<Link> {
    let all = to_tell_apart(site.catalog, &site.facts.chart);
    all.into_iter().filter(|(a, b)| *a == muscle || *b == muscle).map(|(a, b)| pair(site, a, b)).collect()
}

/// The trail of a page of the course.
fn frame(site: &Site<'_>, title: &str) -> Frame {
    under_course(site, site.frame(title))
}

fn under_course(site: &Site<'_>, mut frame: Frame) -> Frame {
    frame.crumbs.truncate(1);
    frame.crumbs.push(Link { text: "Course".into(), href: site.to(route::COURSE) });
    frame
}

//! Decides which files exist and gives each its view. No reading, no writing, no markup.

pub mod cards;
pub mod changes;
pub mod course;
pub mod csl;
pub mod export;
pub mod fit;
pub mod hosting;
pub mod menu;
pub mod paper;
pub mod qr;
pub mod references;
pub mod route;
pub mod search;
pub mod site;
pub mod terms;
pub mod view;
pub mod widths;
pub mod words;

use crate::compute::Facts;
use crate::error::ToolError;
use crate::model::region::{RegionId, regions};
use crate::model::{Catalog, DocRef, Idx, Kind};
use rayon::prelude::*;
use references::References;
use site::Site;
use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use view::View;

/// What an output file is.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Shape {
    /// A page of the site.
    Page,
    /// A printable card of one protocol.
    Card,
    /// A protocol in the treatment room.
    Room,
    /// A sheet of all cards.
    Sheet,
    /// A print of one document that is no card: a mark sheet, a leaflet.
    Handout,
    /// Data for machines.
    Data,
    /// Inputs of a protocol's computed numbers, to run them again. No instruction for a treatment.
    Worksheet,
    /// Style, script, picture, file for a host.
    Asset,
}

/// What a file is made from.
#[derive(Debug)]
pub enum Body {
    /// A view and its template.
    View(View),
    /// Text that is finished: data and the search index.
    Text(String),
    /// A file that ships with the tool, by its name under `assets/`.
    Asset(&'static str),
    /// The worker that keeps the site for use without a network. It lists every other file.
    Worker,
}

/// A file to be made.
#[derive(Debug)]
pub struct Artifact {
    /// What it is.
    pub shape: Shape,
    /// The document it shows, if it shows one.
    pub doc: Option<DocRef>,
    /// What it is made from.
    pub body: Body,
}

/// Every file of a site by its path.
#[derive(Debug, Default)]
pub struct Plan {
    /// Files.
    pub artifacts: BTreeMap<String, Artifact>,
    /// Paths that two files claim, with the document that lost; the first keeps its place.
    pub clashes: Vec<(String, Option<DocRef>)>,
    /// Protocols with a card on which an item is higher than a face.
    pub overfull: Vec<DocRef>,
}

/// Files that ship with the tool and go into every site.
pub const ASSETS: [&str; 17] = [
    "card-check.js",
    "change.js",
    "finder-figure.js",
    "finder.js",
    "icon-192.png",
    "icon-512.png",
    "icon.svg",
    "minisearch.LICENSE.txt",
    "minisearch.js",
    "offline.js",
    "room.css",
    "room.js",
    "screening.css",
    "screening.js",
    "search.js",
    "session.css",
    "style.css",
];

/// Plans the whole site.
///
/// # Errors
/// When a shipped style of references is broken.
pub fn plan(catalog: &Catalog, facts: &Facts) -> Result<Plan, ToolError> {
    let references = &References::of(catalog)?;
    let mut plan = Plan::default();
    for asset in ASSETS {
        // Names in the site are lower case, so that no host and no stick can confuse them.
        plan.add(format!("assets/{}", asset.to_ascii_lowercase()), Artifact { shape: Shape::Asset, doc: None, body: Body::Asset(asset) });
    }
    plan.add_all(shared(catalog, facts, references));
    plan.add_all(course::files(catalog, facts, references));
    let ids: Vec<RegionId> = regions().ids().collect();
    let pages: Vec<(String, Artifact)> = ids.par_iter().map(|id| of_region(catalog, facts, references, *id)).collect();
    plan.add_all(pages);
    let docs: Vec<DocRef> = route::PAGED.into_iter().flat_map(|k| catalog.docs(k)).collect();
    let made: Vec<Vec<(String, Artifact)>> = docs.par_iter().map(|d| of_document(catalog, facts, references, *d)).collect();
    plan.add_all(made.into_iter().flatten());
    let hosting = hosting::files(catalog, facts, references, &plan);
    plan.add_all(hosting);
    plan.overfull = overfull(&plan);
    Ok(plan)
}

/// Plans the reviewer's dossier as a folder of its own. Rows that are drawn stand first on the page about reading.
///
/// # Errors
/// When a shipped style of references is broken.
pub fn dossier(catalog: &Catalog, facts: &Facts, draw: Option<(&str, usize)>) -> Result<Plan, ToolError> {
    let references = &References::of(catalog)?;
    let mut plan = Plan::default();
    plan.add("assets/style.css".into(), Artifact { shape: Shape::Asset, doc: None, body: Body::Asset("style.css") });
    for (part, _) in view::audit::PARTS {
        let path = route::audit(part);
        let site = Site { catalog, facts, references, path: &path };
        let mut view = view::audit::page(&site, part);
        if let Some((seed, n)) = draw.filter(|_| part == "sample") {
            view.sections.insert(0, view::audit::sample_rows(&site, seed, n));
        }
        plan.add(format!("{part}.html"), page(View::Audit(Box::new(view.alone())), None));
    }
    Ok(plan)
}

/// Plans the page of a list of changes as a folder of its own.
///
/// # Errors
/// When a shipped style of references is broken.
pub fn changes(catalog: &Catalog, facts: &Facts, listing: &changes::Listing) -> Result<Plan, ToolError> {
    let references = &References::of(catalog)?;
    let mut plan = Plan::default();
    plan.add("assets/style.css".into(), Artifact { shape: Shape::Asset, doc: None, body: Body::Asset("style.css") });
    let site = Site { catalog, facts, references, path: route::HOME };
    plan.add(route::HOME.into(), page(View::Audit(Box::new(changes::page::page(&site, listing))), None));
    Ok(plan)
}

/// Plans every card for a paper, to be set for printing.
///
/// # Errors
/// When a shipped style of references is broken.
pub fn cards(catalog: &Catalog, facts: &Facts, paper: paper::Paper) -> Result<Vec<cards::Printed>, ToolError> {
    let references = &References::of(catalog)?;
    Ok(cards::printed(&Site { catalog, facts, references, path: route::ALL_CARDS }, paper))
}

impl Plan {
    fn add(&mut self, path: String, artifact: Artifact) {
        match self.artifacts.entry(path) {
            Entry::Occupied(taken) => self.clashes.push((taken.key().clone(), artifact.doc)),
            Entry::Vacant(free) => {
                free.insert(artifact);
            }
        }
    }

    fn add_all(&mut self, all: impl IntoIterator<Item = (String, Artifact)>) {
        for (path, artifact) in all {
            self.add(path, artifact);
        }
    }
}

fn page(view: View, doc: Option<DocRef>) -> Artifact {
    let shape = match (&view, doc) {
        (View::Card(_), Some(_)) => Shape::Card,
        (View::Card(_), None) => Shape::Sheet,
        (View::Room(_), _) => Shape::Room,
        _ => Shape::Page,
    };
    Artifact { shape, doc, body: Body::View(view) }
}

/// Files that belong to no single document.
fn shared(catalog: &Catalog, facts: &Facts, references: &References) -> Vec<(String, Artifact)> {
    let at = |path: &'static str| Site { catalog, facts, references, path };
    let mut out = vec![
        (route::HOME.to_string(), page(View::Home(Box::new(view::home::Home::new(&at(route::HOME)))), None)),
        (route::A_TO_Z.to_string(), page(View::Az(Box::new(view::az::Az::new(&at(route::A_TO_Z)))), None)),
        (route::REGIONS.to_string(), page(View::Regions(Box::new(view::regions::Regions::new(&at(route::REGIONS)))), None)),
    ];
    out.push((route::DESIGN.to_string(), page(View::Design(Box::new(view::design::DesignPage::new(&at(route::DESIGN)))), None)));
    let site = at(route::EVIDENCE);
    out.push((route::EVIDENCE.to_string(), page(View::Evidence(Box::new(view::evidence::EvidencePage::new(&site))), None)));
    let site = at(route::WORDING);
    out.push((route::WORDING.to_string(), page(View::Wording(Box::new(view::wording::WordingPage::new(&site))), None)));
    out.push((route::FINDER.to_string(), page(View::Finder(Box::new(view::finder::FinderPage::new(&at(route::FINDER)))), None)));
    let site = at(route::SCREENING);
    let table = view::screening::Data::new(&site);
    out.push(("assets/screening-data.js".into(), script("fascicleScreeningData", &table)));
    out.push((route::SCREENING_DATA.to_string(), data(&serde_json::to_value(&table).unwrap_or_default(), None)));
    out.push((route::SCREENING.to_string(), page(View::Screening(Box::new(view::screening::ScreeningPage::new(&site))), None)));
    let parts = view::audit::PARTS.par_iter().map(|(part, _)| {
        let path = route::audit(part);
        let view = view::audit::page(&Site { catalog, facts, references, path: &path }, part);
        (path, page(View::Audit(Box::new(view)), None))
    });
    out.extend(parts.collect::<Vec<_>>());
    out.push(("assets/finder-data.js".into(), script("fascicleFinderData", &view::finder::data::data(&at(route::FINDER)))));
    out.extend(view::chart::figure::all().into_iter().map(|(path, figure)| (path, picture(figure))));
    for kind in route::PAGED {
        let path = route::list(kind);
        let site = Site { catalog, facts, references, path: &path };
        out.push((path.clone(), page(View::List(Box::new(view::list::List::new(&site, kind))), None)));
    }
    if !catalog.protocols.is_empty() {
        let view = view::card_check::CardCheck::new(&at(route::CARD_CHECK));
        out.push(("data/codes.json".into(), data(&export::codes(&view), None)));
        out.push((route::CARD_CHECK.to_string(), page(View::CardCheck(Box::new(view)), None)));
        out.push((route::ALL_CARDS.to_string(), page(View::Card(Box::new(cards::all(&at(route::ALL_CARDS)))), None)));
    }
    let scripts = search::scripts(&at(route::HOME));
    out.extend(scripts.into_iter().map(|(path, text)| (path, Artifact { shape: Shape::Asset, doc: None, body: Body::Text(text) })));
    out.push(("data/site.json".into(), data(&export::site(&at("data/site.json")), None)));
    out
}

/// Data as a classic script that calls a function: the one form that a page opened from a disk can load.
fn script(function: &str, value: &impl serde::Serialize) -> Artifact {
    let text = format!("{function}({});\n", serde_json::to_string(value).unwrap_or_default());
    Artifact { shape: Shape::Asset, doc: None, body: Body::Text(text) }
}

/// Page of a region.
fn of_region(catalog: &Catalog, facts: &Facts, references: &References, id: RegionId) -> (String, Artifact) {
    let path = route::region(id);
    let view = view::region::RegionPage::new(&Site { catalog, facts, references, path: &path }, id);
    (path, page(View::Region(Box::new(view)), None))
}

fn picture(figure: view::chart::figure::Figure) -> Artifact {
    Artifact { shape: Shape::Asset, doc: None, body: Body::View(View::Figure(Box::new(figure))) }
}

fn data(value: &serde_json::Value, doc: Option<DocRef>) -> Artifact {
    let text = serde_json::to_string_pretty(value).unwrap_or_default() + "\n";
    Artifact { shape: Shape::Data, doc, body: Body::Text(text) }
}

/// Page, card, data and worksheet of a document.
fn of_document(catalog: &Catalog, facts: &Facts, references: &References, doc: DocRef) -> Vec<(String, Artifact)> {
    let path = route::page(catalog, doc);
    let mut out = Vec::new();
    let site = Site { catalog, facts, references, path: &path };
    if let Some(view) = view_of(&site, doc) {
        out.push((path.clone(), page(view, Some(doc))));
    }
    let path = route::data(catalog, doc);
    let value = export::document(&Site { catalog, facts, references, path: &path }, doc);
    out.push((path, data(&value, Some(doc))));
    // What is retired keeps its address and has no card.
    if doc.kind == Kind::Protocol && site.card(doc).is_some() {
        let path = route::card(catalog.id(doc));
        let view = cards::one(&Site { catalog, facts, references, path: &path }, Idx::new(doc.row as usize));
        out.push((path, page(View::Card(Box::new(view)), Some(doc))));
    }
    if doc.kind == Kind::Protocol && site.room(doc).is_some() {
        let path = route::room(catalog.id(doc));
        let view = view::room::RoomPage::new(&Site { catalog, facts, references, path: &path }, Idx::new(doc.row as usize));
        out.push((path, page(View::Room(Box::new(view)), Some(doc))));
    }
    if doc.kind == Kind::Session && site.card(doc).is_some() {
        let path = route::session_card(catalog.id(doc));
        let view = cards::session::one(&Site { catalog, facts, references, path: &path }, Idx::new(doc.row as usize));
        out.extend(view.map(|view| (path, page(View::Card(Box::new(view)), Some(doc)))));
    }
    if doc.kind == Kind::Protocol {
        let path = route::worksheet(catalog.id(doc));
        if let Some(text) = export::worksheet::worksheet(&Site { catalog, facts, references, path: &path }, Idx::new(doc.row as usize)) {
            out.push((path, Artifact { shape: Shape::Worksheet, doc: Some(doc), body: Body::Text(text) }));
        }
    }
    out
}

fn view_of(site: &Site<'_>, doc: DocRef) -> Option<View> {
    use view::{condition, flag, measure, muscle, outcome, page, population, position, protocol, question, session, source, technique};
    let row = doc.row as usize;
    Some(match doc.kind {
        Kind::Pack | Kind::Audit | Kind::Change => return None,
        Kind::Condition => View::Condition(Box::new(condition::ConditionPage::new(site, Idx::new(row)))),
        Kind::Flag => View::Flag(Box::new(flag::FlagPage::new(site, Idx::new(row)))),
        Kind::Measure => View::Measure(Box::new(measure::MeasurePage::new(site, Idx::new(row)))),
        Kind::Muscle => View::Muscle(Box::new(muscle::MusclePage::new(site, Idx::new(row)))),
        Kind::Outcome => View::Outcome(Box::new(outcome::OutcomePage::new(site, Idx::new(row)))),
        Kind::Page => View::Page(Box::new(page::TextPage::new(site, Idx::new(row)))),
        Kind::Population => View::Population(Box::new(population::PopulationPage::new(site, Idx::new(row)))),
        Kind::Position => View::Position(Box::new(position::PositionPage::new(site, Idx::new(row)))),
        Kind::Protocol => View::Protocol(Box::new(protocol::ProtocolPage::new(site, Idx::new(row)))),
        Kind::Question => View::Question(Box::new(question::QuestionPage::new(site, Idx::new(row)))),
        Kind::Session => View::Session(Box::new(session::SessionPage::new(site, Idx::new(row))?)),
        Kind::Source => View::Source(Box::new(source::SourcePage::new(site, Idx::new(row)))),
        Kind::Technique => View::Technique(Box::new(technique::TechniquePage::new(site, Idx::new(row)))),
    })
}

fn overfull(plan: &Plan) -> Vec<DocRef> {
    let mut out = Vec::new();
    for artifact in plan.artifacts.values() {
        if let (Body::View(View::Card(cards)), Some(doc)) = (&artifact.body, artifact.doc)
            && cards.faces.iter().any(|f| f.overfull)
        {
            out.push(doc);
        }
    }
    out
}

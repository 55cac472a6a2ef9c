//! What can be found: every document, region and shared page with its names, places and texts. The index is
//! built here so that a browser only has to load it; its form is made in `index`, that of many documents in `parts`.

mod index;
mod parts;

pub use index::{Index, fold};
pub use parts::Script;

use super::route;
use super::site::Site;
use super::view::list;
use crate::model::region::{RegionId, regions};
use crate::model::{Catalog, DocRef, Kind};
use serde::Serialize;
use std::collections::BTreeSet;

/// Indexed fields in the order of their numbers.
pub const FIELDS: [&str; 5] = ["title", "names", "places", "tags", "body"];

/// What a result shows and by what it can be sifted. Empty parts are left out.
#[derive(Debug, Clone, Default, Serialize)]
pub struct Stored {
    title: String,
    kind: &'static str,
    href: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    note: String,
    /// Other names, to say by which a document was found.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    names: Vec<String>,
    /// Parts of the body.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    parts: Vec<String>,
    /// Techniques.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    techniques: Vec<String>,
    /// Where a document stands.
    #[serde(skip_serializing_if = "Option::is_none")]
    state: Option<&'static str>,
}

/// A document to be found.
struct Entry {
    stored: Stored,
    fields: [String; FIELDS.len()],
}

/// Other names of a document, its Latin name included.
pub fn other_names(catalog: &Catalog, doc: DocRef) -> Vec<String> {
    let i = doc.row as usize;
    let all = |names: &[crate::source::Text]| names.iter().map(|n| n.value.to_string()).collect::<Vec<_>>();
    match doc.kind {
        Kind::Muscle => catalog.muscles.rows().get(i).map(|m| {
            let mut names = all(&m.other_names);
            names.push(m.latin.value.to_string());
            names
        }),
        Kind::Technique => catalog.techniques.rows().get(i).map(|t| all(&t.other_names)),
        Kind::Condition => catalog.conditions.rows().get(i).map(|c| all(&c.other_names)),
        Kind::Outcome => catalog.outcomes.rows().get(i).map(|o| all(&o.other_names)),
        Kind::Measure => catalog.measures.rows().get(i).map(|m| all(&m.other_names)),
        _ => None,
    }
    .unwrap_or_default()
}

/// Documents of an index that a browser loads whole.
const WHOLE: usize = 5_000;

/// Scripts of the index of the whole site: one, or a head and its parts. Addresses start at the top folder.
pub fn scripts(site: &Site<'_>) -> Vec<Script> {
    let index = index(site);
    if index.documents() > WHOLE { in_parts(&index) } else { vec![script(&index)] }
}

/// The scripts of an index in parts, however few its documents are.
pub fn in_parts(index: &Index) -> Vec<Script> {
    let (head, mut scripts) = parts::usual(index);
    scripts.push(script(&head));
    scripts
}

fn script(value: &impl Serialize) -> Script {
    let text = serde_json::to_string(value).unwrap_or_default();
    ("assets/search-index.js".into(), format!("fascicleSearchIndex({text});\n"))
}

/// Builds the index of the whole site.
pub fn index(site: &Site<'_>) -> Index {
    let docs = route::PAGED.into_iter().flat_map(|k| site.catalog.docs(k));
    // Without a protocol there is no card to check.
    let there = |e: &Entry| e.stored.href != route::CARD_CHECK || !site.catalog.protocols.is_empty();
    let entries: Vec<Entry> =
        docs.map(|d| entry(site, d)).chain(region_entries()).chain(shared_entries()).chain(course_entries(site)).filter(there).collect();
    index::build(&entries)
}

fn entry(site: &Site<'_>, doc: DocRef) -> Entry {
    let shown = other_names(site.catalog, doc);
    let mut names = shown.clone();
    if let Some(muscle) = muscle_of(site.catalog, doc) {
        names.extend(muscle.misspellings.iter().map(|m| m.value.to_string()));
        if doc.kind == Kind::Protocol {
            names.push(muscle.name.value.to_string());
            names.extend(muscle.other_names.iter().map(|m| m.value.to_string()));
        }
    }
    let title = site.name(doc);
    let regions = regions_of(site, doc);
    let stored = Stored {
        kind: route::heading(doc.kind),
        href: route::page(site.catalog, doc),
        note: shorten(&list::note(site, doc)),
        names: shown,
        parts: parts(&regions),
        techniques: techniques(site, doc),
        state: site.state_of(doc).map(|s| super::words::state(s).word),
        title: title.clone(),
    };
    let places = regions.iter().map(|id| words_of(*id)).collect::<Vec<_>>().join(" ");
    Entry { fields: [title, names.join(" "), places, route::word(doc.kind).to_string(), body(site.catalog, doc)], stored }
}

/// Regions that a document is about: where a muscle lies and is attached by its points, what a protocol treats.
fn regions_of(site: &Site<'_>, doc: DocRef) -> Vec<RegionId> {
    let row = doc.row as usize;
    let mut ids: Vec<RegionId> = match doc.kind {
        Kind::Muscle => site.catalog.muscles.rows().get(row).map(|m| {
            let points = m.points.iter().flat_map(|p| &p.region.all);
            m.regions.all.iter().chain(points).map(|p| p.region).collect()
        }),
        Kind::Protocol => site.facts.protocols.get(row).map(|f| {
            let treated = f.steps.iter().filter(|s| s.is_treatment());
            treated.flat_map(|s| &s.places).map(|p| p.region).collect()
        }),
        Kind::Session => site.catalog.sessions.rows().get(row).map(|s| {
            let protocols = s.protocols.iter().filter_map(|p| p.to);
            protocols.flat_map(|p| regions_of(site, super::site::doc(Kind::Protocol, p))).collect()
        }),
        _ => None,
    }
    .unwrap_or_default();
    ids.sort_unstable();
    ids.dedup();
    ids
}

/// Names of the parts of the body that regions belong to, in the order of the list.
fn parts(ids: &[RegionId]) -> Vec<String> {
    let found: BTreeSet<&str> = ids.iter().map(|id| regions().body_part(*id)).collect();
    let groups = regions().groups().iter().filter(|g| found.contains(&*g.id));
    groups.map(|g| super::words::capital(&g.name)).collect()
}

/// Plain name, Latin name and other words of a region.
fn words_of(id: RegionId) -> String {
    let r = regions().get(id);
    format!("{} {} {}", r.name, r.latin, r.also.join(" "))
}

/// Names of the techniques that a document uses or is.
fn techniques(site: &Site<'_>, doc: DocRef) -> Vec<String> {
    let row = doc.row as usize;
    let of = |facts: &crate::compute::ProtocolFacts| -> BTreeSet<String> {
        let treating = facts.steps.iter().chain(&facts.home).filter(|s| s.is_treatment());
        treating.filter_map(|s| s.technique).map(|t| site.catalog.techniques[t].name.value.to_string()).collect()
    };
    match doc.kind {
        Kind::Technique => vec![site.name(doc)],
        Kind::Protocol => site.facts.protocols.get(row).map(|f| of(f).into_iter().collect()).unwrap_or_default(),
        Kind::Session => {
            let protocols = site.catalog.sessions.rows().get(row).map(|s| s.protocols.iter().filter_map(|p| p.to).collect::<Vec<_>>());
            protocols.unwrap_or_default().into_iter().flat_map(|p| of(site.facts.of(p))).collect::<BTreeSet<_>>().into_iter().collect()
        }
        _ => Vec::new(),
    }
}

fn muscle_of(catalog: &Catalog, doc: DocRef) -> Option<&crate::model::docs::Muscle> {
    match doc.kind {
        Kind::Muscle => catalog.muscles.rows().get(doc.row as usize),
        Kind::Protocol => catalog.protocols.rows().get(doc.row as usize)?.muscle.to.map(|m| &catalog.muscles[m]),
        _ => None,
    }
}

/// All texts of a document. Misspellings stand in the names already.
fn body(catalog: &Catalog, doc: DocRef) -> String {
    let texts = catalog.wordings.iter().filter(|w| w.doc == doc && &*w.key != "misspellings");
    texts.map(|w| &*w.text.value).collect::<Vec<_>>().join(" ")
}

fn region_entries() -> impl Iterator<Item = Entry> {
    regions().ids().map(|id| {
        let r = regions().get(id);
        let stored = Stored {
            title: super::words::capital(&r.name),
            kind: "Regions",
            href: route::region(id),
            note: r.latin.clone(),
            names: r.also.clone(),
            parts: parts(&[id]),
            ..Stored::default()
        };
        let names = format!("{} {}", r.also.join(" "), r.latin);
        Entry { fields: [r.name.clone(), names, String::new(), "region".into(), String::new()], stored }
    })
}

/// A page that belongs to no document: title, words that lead to it, kind, address, what it is for.
fn shared(title: &str, words: &str, kind: &'static str, href: &str, note: &str) -> Entry {
    let stored = Stored { title: title.into(), kind, href: href.into(), note: note.into(), ..Stored::default() };
    Entry { fields: [title.into(), words.into(), String::new(), kind.to_lowercase(), note.into()], stored }
}

fn shared_entries() -> [Entry; 5] {
    [
        shared(
            "Finder",
            "pain drawing body chart",
            "Finder",
            route::FINDER,
            "Mark where it hurts: red flags to ask and muscles worth examining",
        ),
        shared(
            super::view::wording::TITLE,
            "certainty of evidence",
            "Evidence",
            route::WORDING,
            "What each certainty means, which words it carries, and the thresholds behind a proposal",
        ),
        shared(
            super::view::screening::TITLE,
            "screen ask questions contraindications red flags conditions",
            "Screening",
            route::SCREENING,
            "Ask every question, tick what is answered with yes, and see what may still be done",
        ),
        shared("Check a card", "check code withdrawn printed", "Cards", route::CARD_CHECK, "Does a printed card still hold?"),
        shared("Reviewer's dossier", "audit review trace", "Evidence", route::DOSSIER, "Every statement and number with what it rests on"),
    ]
}

/// Pages of the course: those for the whole of it, what is printed for each protocol, muscles side by side.
fn course_entries(site: &Site<'_>) -> Vec<Entry> {
    let course = super::view::course::overview(site);
    let one = |title: String, words: &str, href: &str, note: &str| shared(&title, words, "Course", href, note);
    let mut out: Vec<Entry> =
        course.pages.iter().map(|(link, what)| one(link.text.clone(), "", &link.href, &super::words::capital(what))).collect();
    for s in &course.sheets {
        out.push(one(format!("Mark sheet: {}", s.protocol.text), "examination assessment", &s.mark_sheet, "For the examiner"));
        let leaflet = s.leaflet.as_ref();
        out.extend(leaflet.map(|href| one(format!("Leaflet: {}", s.protocol.text), "handout", href, "For the person who is treated")));
    }
    out.extend(course.pairs.iter().map(|p| one(p.text.clone(), "side by side look-alikes difference", &p.href, "Side by side")));
    out
}

/// At most 140 characters, cut between words.
fn shorten(text: &str) -> String {
    let Some((cut, _)) = text.char_indices().nth(140) else { return text.to_string() };
    let head = text.get(..cut).unwrap_or(text);
    let end = head.rfind(' ').unwrap_or(cut);
    format!("{} …", head.get(..end).unwrap_or(head))
}

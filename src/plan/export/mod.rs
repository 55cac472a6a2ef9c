//! The same content for machines: one versioned JSON object for each document.
//!
//! Quantities carry their text, their unit and both ends in the unit and in the base unit, so that
//! nobody has to parse text. Paths start at the top folder of the site.

mod chart;
mod computed;
mod documents;
pub mod dossier;
mod evidence;
mod measure;
mod mechanics;
mod protocol;
mod session;
mod thermal;
mod values;
pub mod worksheet;

use super::site::Site;
use super::{route, words};
use crate::compute::currency::sign_off::State;
use crate::model::{DocRef, Idx, Kind};
use serde_json::{Value, json};

/// Version of the shape of all exports.
pub const VERSION: u32 = 1;

/// `data/site.json`: packs and every document with its files.
pub fn site(site: &Site<'_>) -> Value {
    let catalog = site.catalog;
    let pack = |p: &crate::model::docs::Pack| {
        json!({
            "id": *p.head.id.value, "title": *p.title.value, "edition": *p.edition.value, "language": *p.language.value,
            "jurisdiction": *p.jurisdiction.value, "licence": *p.licence.value, "notice": *p.notice.value,
            "demonstration": values::text(&p.demonstration), "review_by": p.head.review_by.as_ref().map(|d| d.value.to_string()),
            "glossary": p.glossary.iter().map(|w| json!({"word": *w.word.value, "means": *w.means.value, "ground": values::ground(catalog, &w.ground)})).collect::<Vec<_>>(),
            "open_questions": values::texts(&p.open_questions), "limits": values::limits(catalog, &p.limits),
            "thermal": values::house_thermal(&p.thermal),
        })
    };
    let docs = route::PAGED.into_iter().flat_map(|k| catalog.docs(k));
    let row = |d: DocRef| json!({"kind": d.kind.word(), "id": catalog.id(d), "title": catalog.title(d), "page": route::page(catalog, d), "data": route::data(catalog, d)});
    json!({
        "version": VERSION,
        "use": words::USE_NOTE,
        "packs": catalog.packs.rows().iter().map(pack).collect::<Vec<_>>(),
        "documents": docs.map(row).collect::<Vec<_>>(),
    })
}

/// `data/<kind>s/<id>.json`.
pub fn document(site: &Site<'_>, doc: DocRef) -> Value {
    let catalog = site.catalog;
    let head = catalog.head(doc);
    let pack = head.map(|h| &catalog.packs[h.pack]);
    json!({
        "version": VERSION,
        "kind": doc.kind.word(),
        "id": catalog.id(doc),
        "title": catalog.title(doc),
        "pack": pack.map(|p| p.head.id.value.to_string()),
        "edition": pack.map(|p| p.edition.value.to_string()),
        "state": site.state_of(doc).map(State::word),
        "signed": site.state_of(doc).is_some_and(State::is_in_force),
        "digest": site.facts.currency.of(catalog, doc).map(|s| s.digest.to_string()),
        "review_by": site.review_by(doc),
        "notice": pack.map(|p| p.notice.value.to_string()),
        "demonstration": pack.and_then(|p| values::text(&p.demonstration)),
        "use": words::USE_NOTE,
        "page": route::page(catalog, doc),
        "differs": super::view::differs::data(site, doc),
        "document": body(site, doc),
    })
}

fn body(site: &Site<'_>, doc: DocRef) -> Value {
    let catalog = site.catalog;
    let i = doc.row as usize;
    let found = match doc.kind {
        Kind::Condition => catalog.conditions.rows().get(i).map(|d| documents::condition(catalog, d)),
        Kind::Flag => catalog.flags.rows().get(i).map(|d| documents::flag(catalog, d)),
        Kind::Measure => catalog.measures.rows().get(i).map(|d| measure::measure(catalog, d)),
        Kind::Muscle => catalog.muscles.rows().get(i).map(|d| documents::muscle(catalog, d)),
        Kind::Outcome => catalog.outcomes.rows().get(i).map(evidence::outcome),
        Kind::Page => catalog.pages.rows().get(i).map(|d| json!({"markdown": *d.body.value})),
        Kind::Population => catalog.populations.rows().get(i).map(|d| evidence::population(catalog, d)),
        Kind::Position => catalog.positions.rows().get(i).map(|d| documents::position(catalog, d)),
        Kind::Protocol => catalog.protocols.rows().get(i).map(|_| protocol::protocol(site, Idx::new(i))),
        Kind::Question => catalog.questions.rows().get(i).map(|d| evidence::question(site, Idx::new(i), d)),
        Kind::Session => catalog.sessions.rows().get(i).map(|_| protocol::session(site, Idx::new(i))),
        Kind::Source => catalog.sources.rows().get(i).map(|d| evidence::source(catalog, d)),
        Kind::Technique => catalog.techniques.rows().get(i).map(|d| documents::technique(catalog, d)),
        Kind::Pack | Kind::Audit | Kind::Change => None,
    };
    found.unwrap_or(Value::Null)
}
/// Every check code of a pack with what is to be said of it, withdrawn ones first.
pub fn codes(view: &super::view::card_check::CardCheck) -> Value {
    let one = |r: &super::view::card_check::Row| json!({"code": r.code, "protocol": r.protocol, "title": r.title.text, "edition": r.edition, "answer": r.mark.word, "text": r.text});
    let all = |rows: &[super::view::card_check::Row]| rows.iter().map(one).collect::<Vec<_>>();
    json!({"version": VERSION, "kind": "codes", "use": words::USE_NOTE, "withdraw": all(&view.withdrawn), "holds": all(&view.holding)})
}

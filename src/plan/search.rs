//! The search index, built here so that a browser only has to load it.
//!
//! The form is the serialised form of MiniSearch, version 2: a list of terms, each with the fields
//! and documents it stands in. Texts are folded in the same way here and in `search.js`.

use super::route;
use super::site::Site;
use super::view::list;
use crate::model::region::regions;
use crate::model::{Catalog, DocRef, Kind};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

/// Indexed fields in the order of their numbers.
pub const FIELDS: [&str; 4] = ["title", "names", "tags", "body"];

/// Words that say nothing about which muscle is meant.
const DROPPED: [&str; 3] = ["m", "mm", "musculus"];

/// Counts of a term: field number, then document number.
type Postings = BTreeMap<usize, BTreeMap<usize, u32>>;

/// The serialised index.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Index {
    document_count: usize,
    next_id: usize,
    document_ids: BTreeMap<usize, usize>,
    field_ids: BTreeMap<&'static str, usize>,
    field_length: BTreeMap<usize, Vec<usize>>,
    average_field_length: Vec<f64>,
    stored_fields: BTreeMap<usize, Stored>,
    dirt_count: usize,
    #[serde(rename = "index")]
    postings: Vec<(String, Postings)>,
    serialization_version: u8,
}

/// What a result shows.
#[derive(Debug, Clone, Serialize)]
pub struct Stored {
    title: String,
    kind: &'static str,
    href: String,
    note: String,
}

/// A document to be found.
struct Entry {
    stored: Stored,
    fields: [String; 4],
}

/// Lower case, no diacritics, ae and oe as e.
pub fn fold(text: &str) -> String {
    let plain: String = text.nfd().filter(|c| !is_combining_mark(*c)).collect();
    plain.to_lowercase().replace("ae", "e").replace("oe", "e").replace(['æ', 'œ'], "e")
}

/// Folded words.
fn tokens(text: &str) -> Vec<String> {
    fold(text).split(|c: char| !c.is_alphanumeric()).filter(|t| !t.is_empty()).map(str::to_string).collect()
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

/// Builds the index of the whole site. Addresses start at the top folder.
pub fn index(site: &Site<'_>) -> Index {
    let docs = route::PAGED.into_iter().flat_map(|k| site.catalog.docs(k));
    let entries: Vec<Entry> = docs.map(|d| entry(site, d)).chain(region_entries()).chain([finder_entry(), wording_entry()]).collect();
    build(&entries)
}

fn entry(site: &Site<'_>, doc: DocRef) -> Entry {
    let mut names = other_names(site.catalog, doc);
    if let Some(muscle) = muscle_of(site.catalog, doc) {
        names.extend(muscle.misspellings.iter().map(|m| m.value.to_string()));
        if doc.kind == Kind::Protocol {
            names.push(muscle.name.value.to_string());
            names.extend(muscle.other_names.iter().map(|m| m.value.to_string()));
        }
    }
    let title = site.name(doc);
    let note = list::note(site, doc);
    Entry {
        fields: [title.clone(), names.join(" "), route::word(doc.kind).to_string(), body(site.catalog, doc)],
        stored: Stored { title, kind: route::heading(doc.kind), href: route::page(site.catalog, doc), note: shorten(&note) },
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
        let stored = Stored { title: super::words::capital(&r.name), kind: "Regions", href: route::region(id), note: r.latin.clone() };
        Entry { fields: [r.name.clone(), r.latin.clone(), "region".into(), String::new()], stored }
    })
}

fn finder_entry() -> Entry {
    let note = "Mark where it hurts: red flags to ask and muscles worth examining";
    let stored = Stored { title: "Finder".into(), kind: "Finder", href: route::FINDER.into(), note: note.into() };
    Entry { fields: ["Finder".into(), "pain drawing body chart".into(), "finder".into(), note.into()], stored }
}

fn wording_entry() -> Entry {
    let title = super::view::wording::TITLE;
    let note = "What each certainty means, which words it carries, and the thresholds behind a proposal";
    let stored = Stored { title: title.into(), kind: "Evidence", href: route::WORDING.into(), note: note.into() };
    Entry { fields: [title.into(), "certainty of evidence".into(), "evidence".into(), note.into()], stored }
}

/// At most 140 characters, cut between words.
fn shorten(text: &str) -> String {
    let Some((cut, _)) = text.char_indices().nth(140) else { return text.to_string() };
    let head = text.get(..cut).unwrap_or(text);
    let end = head.rfind(' ').unwrap_or(cut);
    format!("{} …", head.get(..end).unwrap_or(head))
}

fn build(entries: &[Entry]) -> Index {
    let mut terms: BTreeMap<String, Postings> = BTreeMap::new();
    let mut field_length: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    let mut average = vec![0.0; FIELDS.len()];
    for (n, entry) in entries.iter().enumerate() {
        let mut lengths = Vec::with_capacity(FIELDS.len());
        for (f, text) in entry.fields.iter().enumerate() {
            let words = tokens(text);
            lengths.push(words.iter().collect::<BTreeSet<_>>().len());
            for word in words.into_iter().filter(|w| !DROPPED.contains(&w.as_str())) {
                *terms.entry(word).or_default().entry(f).or_default().entry(n).or_default() += 1;
            }
        }
        for (mean, length) in average.iter_mut().zip(&lengths) {
            *mean = (*mean * count(n) + count(*length)) / count(n + 1);
        }
        field_length.insert(n, lengths);
    }
    Index {
        document_count: entries.len(),
        next_id: entries.len(),
        document_ids: (0..entries.len()).map(|n| (n, n)).collect(),
        field_ids: FIELDS.iter().enumerate().map(|(i, f)| (*f, i)).collect(),
        field_length,
        average_field_length: average,
        stored_fields: entries.iter().enumerate().map(|(n, e)| (n, e.stored.clone())).collect(),
        dirt_count: 0,
        postings: terms.into_iter().collect(),
        serialization_version: 2,
    }
}

fn count(n: usize) -> f64 {
    f64::from(u32::try_from(n).unwrap_or(u32::MAX))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one(title: &str, names: &str) -> Entry {
        let stored = Stored { title: title.into(), kind: "Muscles", href: "muscles/a.html".into(), note: String::new() };
        Entry { stored, fields: [title.into(), names.into(), "muscle".into(), "Body of the text".into()] }
    }

    #[test]
    fn words_are_folded_and_empty_words_dropped() {
        assert_eq!(tokens("M. Quadratus lumbórum, Gluteæ"), ["m", "quadratus", "lumborum", "glutee"]);
        assert_eq!(fold("Fernández-de-las-Peñas"), "fernandez-de-las-penas");
    }

    #[test]
    fn the_index_has_the_serialised_form() {
        let index = build(&[one("Soleus", "musculus soleus"), one("Upper trapezius", "trapesius")]);
        let json = serde_json::to_value(&index).unwrap();
        assert_eq!(json["serializationVersion"], 2);
        assert_eq!(json["documentCount"], 2);
        assert_eq!(json["fieldIds"]["names"], 1);
        assert_eq!(json["fieldLength"]["0"], serde_json::json!([1, 2, 1, 4]));
        assert_eq!(json["averageFieldLength"][0], 1.5);
        let soleus = json["index"].as_array().unwrap().iter().find(|t| t[0] == "soleus").unwrap();
        assert_eq!(soleus[1], serde_json::json!({"0": {"0": 1}, "1": {"0": 1}}));
        assert!(json["index"].as_array().unwrap().iter().all(|t| t[0] != "musculus"));
    }
}

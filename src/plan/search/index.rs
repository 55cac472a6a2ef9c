//! The serialised form of the index: that of MiniSearch, version 2, a list of terms, each with the fields and
//! documents it stands in. Texts are folded in the same way here and in `search.js`.

use super::{Entry, FIELDS, Stored};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

/// Words that say nothing about which muscle is meant.
const DROPPED: [&str; 3] = ["m", "mm", "musculus"];

/// Counts of a term: field number, then document number.
pub(super) type Postings = BTreeMap<usize, BTreeMap<usize, u32>>;

/// The serialised index.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Index {
    pub(super) document_count: usize,
    next_id: usize,
    document_ids: BTreeMap<usize, usize>,
    pub(super) field_ids: BTreeMap<&'static str, usize>,
    pub(super) field_length: BTreeMap<usize, Vec<usize>>,
    pub(super) average_field_length: Vec<f64>,
    pub(super) stored_fields: BTreeMap<usize, Stored>,
    dirt_count: usize,
    #[serde(rename = "index")]
    pub(super) postings: Vec<(String, Postings)>,
    serialization_version: u8,
}

impl Index {
    /// How many documents it holds.
    pub fn documents(&self) -> usize {
        self.document_count
    }
}

/// Lower case, no diacritics, ae and oe as e; letters that are no mark on another one by their usual spelling.
pub fn fold(text: &str) -> String {
    let plain: String = text.nfd().filter(|c| !is_combining_mark(*c)).collect();
    let plain = plain.to_lowercase().replace('ß', "ss").replace('ø', "o").replace('ł', "l");
    plain.replace("ae", "e").replace("oe", "e").replace(['æ', 'œ'], "e")
}

/// Folded words.
fn tokens(text: &str) -> Vec<String> {
    fold(text).split(|c: char| !c.is_alphanumeric()).filter(|t| !t.is_empty()).map(str::to_string).collect()
}

/// Builds the index.
pub(super) fn build(entries: &[Entry]) -> Index {
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
        let stored = Stored { title: title.into(), kind: "Muscles", href: "muscles/a.html".into(), ..Stored::default() };
        Entry { stored, fields: [title.into(), names.into(), String::new(), "muscle".into(), "Body of the text".into()] }
    }

    #[test]
    fn words_are_folded_and_empty_words_dropped() {
        assert_eq!(tokens("M. Quadratus lumbórum, Gluteæ"), ["m", "quadratus", "lumborum", "glutee"]);
        assert_eq!(fold("Fernández-de-las-Peñas"), "fernandez-de-las-penas");
        assert_eq!([fold("Gesäß"), fold("Cœur"), fold("coeur")], ["gesass", "ceur", "ceur"]);
    }

    #[test]
    fn the_index_has_the_serialised_form() {
        let index = build(&[one("Soleus", "musculus soleus"), one("Upper trapezius", "trapesius")]);
        let json = serde_json::to_value(&index).unwrap();
        assert_eq!(json["serializationVersion"], 2);
        assert_eq!(json["documentCount"], 2);
        assert_eq!(json["fieldIds"]["names"], 1);
        assert_eq!(json["fieldLength"]["0"], serde_json::json!([1, 2, 0, 1, 4]));
        assert_eq!(json["averageFieldLength"][0], 1.5);
        let soleus = json["index"].as_array().unwrap().iter().find(|t| t[0] == "soleus").unwrap();
        assert_eq!(soleus[1], serde_json::json!({"0": {"0": 1}, "1": {"0": 1}}));
        assert!(json["index"].as_array().unwrap().iter().all(|t| t[0] != "musculus"));
    }
}

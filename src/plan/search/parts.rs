//! The index of many documents in parts, so that a browser loads only what a question needs: a head with every word
//! and what each document can be sifted by, the places of the words by range, and the titles by number of document.
//! Split by words and never by documents, so that each answer is exactly that of the whole index.

use super::Stored;
use super::index::{Index, Postings};
use crate::model::content::Digest;
use serde::Serialize;
use std::collections::BTreeSet;

/// Bytes of one part, about; a word that alone has more stays whole.
const BYTES: usize = 100_000;
/// Documents whose titles stand in one part.
const TITLES: usize = 1_000;

/// What is known of every document before any part is loaded.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Head {
    document_count: usize,
    field_ids: std::collections::BTreeMap<&'static str, usize>,
    average_field_length: Vec<f64>,
    field_length: Vec<Vec<usize>>,
    /// Every word, in the order of its parts.
    words: Vec<String>,
    /// Number of the first word of each part.
    starts: Vec<usize>,
    /// Documents of a part of titles.
    titles: usize,
    /// Kinds, parts of the body, techniques and states: the words, then for each document the numbers of its own.
    sifts: Sifts,
    /// Changes with every part, and so does the address of each.
    digest: String,
}

#[derive(Debug, Serialize)]
struct Sifts {
    kind: Numbered,
    parts: Numbered,
    techniques: Numbered,
    state: Numbered,
}

/// Words by number, and numbers by document.
#[derive(Debug, Serialize)]
struct Numbered(Vec<String>, Vec<Vec<usize>>);

/// What a result shows.
#[derive(Debug, Serialize)]
struct Shown<'a>(&'a str, &'a str, &'a str, &'a [String]);

/// A script of the index: its address and its text.
pub type Script = (String, String);

/// Splits an index: the head, and the scripts of all parts.
pub(super) fn split(index: &Index, bytes: usize) -> (Head, Vec<Script>) {
    let mut scripts = Vec::new();
    let mut starts = Vec::new();
    let mut at = 0;
    while at < index.postings.len() {
        let rest = index.postings.get(at..).unwrap_or_default();
        let taken = fitting(rest, bytes);
        let places: Vec<&Postings> = rest.iter().take(taken).map(|(_, p)| p).collect();
        scripts.push(part("words", "fascicleSearchWords", starts.len(), &places));
        starts.push(at);
        at += taken;
    }
    let stored: Vec<&Stored> = index.stored_fields.values().collect();
    for (n, block) in stored.chunks(TITLES).enumerate() {
        let shown: Vec<Shown<'_>> = block.iter().map(|s| Shown(&s.title, &s.href, &s.note, &s.names)).collect();
        scripts.push(part("titles", "fascicleSearchTitles", n, &shown));
    }
    let head = Head {
        document_count: index.document_count,
        field_ids: index.field_ids.clone(),
        average_field_length: index.average_field_length.clone(),
        field_length: index.field_length.values().cloned().collect(),
        words: index.postings.iter().map(|(w, _)| w.clone()).collect(),
        starts,
        titles: TITLES,
        sifts: sifts(&stored),
        digest: Digest::of(&scripts.iter().flat_map(|(_, text)| text.bytes()).collect::<Vec<_>>()).to_string(),
    };
    (head, scripts)
}

/// The parts of an index of usual size.
pub(super) fn usual(index: &Index) -> (Head, Vec<Script>) {
    split(index, BYTES)
}

/// How many of the words, one at least, fit in one part.
fn fitting(words: &[(String, Postings)], bytes: usize) -> usize {
    let mut full = 0;
    let within = words.iter().take_while(|(_, postings)| {
        full += serde_json::to_string(postings).map_or(0, |text| text.len() + 1);
        full <= bytes
    });
    within.count().max(1)
}

fn part(name: &str, function: &str, number: usize, value: &impl Serialize) -> Script {
    let text = format!("{function}({number},{});\n", serde_json::to_string(value).unwrap_or_default());
    (format!("assets/search/{name}-{number}.js"), text)
}

fn sifts(stored: &[&Stored]) -> Sifts {
    let numbered = |of: fn(&Stored) -> Vec<&str>| {
        let words: Vec<&str> = stored.iter().flat_map(|s| of(s)).collect::<BTreeSet<_>>().into_iter().collect();
        let numbers = stored.iter().map(|s| of(s).into_iter().filter_map(|w| words.binary_search(&w).ok()).collect()).collect();
        Numbered(words.into_iter().map(str::to_string).collect(), numbers)
    };
    Sifts {
        kind: numbered(|s| vec![s.kind]),
        parts: numbered(|s| s.parts.iter().map(String::as_str).collect()),
        techniques: numbered(|s| s.techniques.iter().map(String::as_str).collect()),
        state: numbered(|s| s.state.into_iter().collect()),
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Entry, index::build};
    use super::*;

    fn many(count: usize) -> Index {
        let entry = |n: usize| {
            let stored =
                Stored { title: format!("name{n}"), kind: if n.is_multiple_of(2) { "Muscles" } else { "Sources" }, ..Stored::default() };
            let text = |word: &str, of: usize| format!("{word}{}", n % of);
            Entry { fields: [format!("name{n}"), text("also", 7), text("at", 5), "muscle".into(), text("body", 11)], stored }
        };
        build(&(0..count).map(entry).collect::<Vec<_>>())
    }

    #[test]
    fn each_word_and_each_title_stands_in_one_part_and_in_its_place() {
        let index = many(2_500);
        for bytes in [1, 500, 100_000, usize::MAX] {
            let (head, scripts) = split(&index, bytes);
            let of = |name: &str| -> Vec<serde_json::Value> {
                let own = scripts.iter().filter(|(path, _)| path.contains(name));
                own.map(|(_, text)| serde_json::from_str(&text[text.find(',').unwrap() + 1..text.len() - 3]).unwrap()).collect()
            };
            let words = of("words");
            assert_eq!(words.len(), head.starts.len());
            let starts: Vec<usize> = words
                .iter()
                .scan(0, |at, part| {
                    let start = *at;
                    *at += part.as_array().unwrap().len();
                    Some(start)
                })
                .collect();
            assert_eq!(head.starts, starts);
            let all: Vec<&serde_json::Value> = words.iter().flat_map(|p| p.as_array().unwrap()).collect();
            let whole = serde_json::to_value(&index).unwrap();
            let whole = whole["index"].as_array().unwrap();
            assert!(whole.iter().zip(&all).all(|(w, p)| &w[1] == *p) && whole.len() == all.len());
            let titles = of("titles");
            assert_eq!(titles.iter().map(|t| t.as_array().unwrap().len()).collect::<Vec<_>>(), [1000, 1000, 500]);
            assert_eq!(titles[2][499][0], "name2499");
            if bytes == 500 {
                let longest = scripts.iter().filter(|(path, _)| path.contains("words")).filter(|(_, t)| t.len() > 560);
                assert!(longest.clone().count() > 0, "words of every document stay whole");
                assert!(longest.into_iter().all(|(_, t)| !t.contains("},{")), "and alone");
            }
        }
    }

    #[test]
    fn what_documents_are_sifted_by_is_numbered() {
        let (head, _) = split(&many(3), BYTES);
        assert_eq!(serde_json::to_value(&head.sifts.kind).unwrap(), serde_json::json!([["Muscles", "Sources"], [[0], [1], [0]]]));
        assert_eq!(serde_json::to_value(&head.sifts.state).unwrap(), serde_json::json!([[], [[], [], []]]));
    }
}

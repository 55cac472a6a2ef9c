//! Every document and every other name from A to Z: the search that needs no script.

use super::parts::{Frame, Link};
use crate::model::DocRef;
use crate::plan::site::Site;
use crate::plan::{route, search};
use serde::Serialize;

/// View of `az.html`.
#[derive(Debug, Serialize)]
pub struct Az {
    /// Frame.
    pub frame: Frame,
    /// Letters in order.
    pub letters: Vec<Letter>,
}

/// A letter.
#[derive(Debug, Serialize)]
pub struct Letter {
    /// The letter, or `0-9`.
    pub letter: String,
    /// For the anchor.
    pub id: String,
    /// Entries.
    pub entries: Vec<Entry>,
}

/// An entry.
#[derive(Debug, Serialize)]
pub struct Entry {
    /// Name or other name.
    pub text: String,
    /// Document, under its own name.
    pub link: Link,
    /// Kind, for people.
    pub kind: &'static str,
    /// True if `text` is not the document's own name.
    pub see: bool,
}

impl Az {
    /// Lists everything.
    pub fn new(site: &Site<'_>) -> Az {
        let docs = route::PAGED.into_iter().flat_map(|k| site.catalog.docs(k));
        let mut all: Vec<(String, Entry)> = docs.flat_map(|d| entries(site, d)).map(|e| (search::fold(&e.text), e)).collect();
        all.sort_by(|a, b| (&a.0, &a.1.text, a.1.kind, &a.1.link).cmp(&(&b.0, &b.1.text, b.1.kind, &b.1.link)));
        let mut letters: Vec<Letter> = Vec::new();
        for (folded, entry) in all {
            let first = folded.chars().find(|c| c.is_alphanumeric()).unwrap_or('0');
            let letter = if first.is_ascii_alphabetic() { first.to_uppercase().to_string() } else { "0–9".into() };
            match letters.last_mut().filter(|l| l.letter == letter) {
                Some(last) => last.entries.push(entry),
                None => letters.push(Letter { id: format!("letter-{}", first.to_ascii_lowercase()), letter, entries: vec![entry] }),
            }
        }
        Az { frame: site.frame("A to Z"), letters }
    }
}

fn entries(site: &Site<'_>, d: DocRef) -> Vec<Entry> {
    let entry = |text: String, see| Entry { text, link: site.link(d), kind: route::word(d.kind), see };
    let mut out = vec![entry(site.name(d), false)];
    out.extend(search::other_names(site.catalog, d).into_iter().map(|name| entry(crate::plan::words::capital(&name), true)));
    out
}

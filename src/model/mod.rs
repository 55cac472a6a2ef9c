//! Linked data: ids, quantities, regions, movements, vocabulary, documents, and the catalogue.
//!
//! No reading, no writing, no messages. What the words of an author mean is decided in `load`, what
//! they lead to in `link`, what follows from them in `compute`.

mod catalog;
pub mod chart;
pub mod content;
pub mod docs;
pub mod evidence;
pub mod identifier;
pub mod ids;
pub mod interval;
pub mod motion;
pub mod quantity;
pub mod region;
pub mod terms;
pub mod unit;
pub mod vocabulary;

pub use catalog::{Backref, Catalog, Table, Wording};
pub use ids::{DocName, DocRef, Idx, Kind, PARTS, Ref};

/// The word of `known` that is nearest to `word`, if one is near enough to be meant.
pub fn nearest<'a>(word: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    known
        .map(|k| (strsim::damerau_levenshtein(word, k), k))
        .filter(|(distance, k)| *distance <= (k.len().max(word.len()) / 3).max(1))
        .min_by_key(|(distance, k)| (*distance, *k))
        .map(|(_, k)| k)
}

//! The list of sources at the foot of a page.

use super::parts::Link;
use crate::model::vocabulary::Citing;
use crate::model::{DocRef, Kind};
use crate::plan::site::{Site, doc, text};
use serde::Serialize;

/// A source in a list.
#[derive(Debug, Serialize)]
pub struct SourceLine {
    /// Id, for the anchor.
    pub id: String,
    /// Number, where the pack cites by number.
    pub number: Option<usize>,
    /// Page.
    pub link: Link,
    /// Whole reference.
    pub reference: String,
    /// How far the entry was checked.
    pub seen: Option<String>,
}

/// Every source that one of these documents cites, in the order of its label.
pub fn cited_by(site: &Site<'_>, users: &[DocRef]) -> Vec<SourceLine> {
    let citing = site.citing();
    let mut out = Vec::new();
    for (idx, s) in site.catalog.sources.iter() {
        let own = doc(Kind::Source, idx);
        if site.catalog.references_to(own).iter().any(|b| users.contains(&b.from)) {
            out.push(SourceLine {
                id: s.head.id.value.to_string(),
                link: site.link(own),
                number: (citing == Citing::Numbered).then(|| site.references.number(idx)),
                reference: site.references.line(citing, idx).to_string(),
                seen: if s.is_invented() { Some("invented, nothing was searched".into()) } else { text(&s.seen) },
            });
        }
    }
    out.sort_by_cached_key(|l| crate::plan::search::fold(&l.link.text));
    out
}

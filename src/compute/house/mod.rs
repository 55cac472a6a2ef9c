//! A pack beside the pack on which it builds: the base as it stands by itself, and what is not as
//! there.

pub mod likeness;

use super::compare::{Change, Class, Side, Way, compare};
use super::{Facts, compute};
use crate::model::content::Content;
use crate::model::docs::Pack;
use crate::model::{Catalog, DocName, Idx, Kind, PARTS};
use likeness::{Likeness, Said};

/// A pack that builds on another.
#[derive(Debug)]
pub struct House {
    /// The pack.
    pub pack: Idx<Pack>,
    /// The base pack by itself.
    pub catalog: Catalog,
    /// What follows from it.
    pub facts: Facts,
    /// What is not as in the base pack, most dangerous first.
    pub changes: Vec<Change>,
}

/// How much each pack is like another of these, and like those that lie beside it.
pub fn alike(catalog: &Catalog, beside: &[(usize, String, String, Vec<Content>)]) -> Vec<Likeness> {
    let alone: Vec<(Idx<Pack>, &Pack, Said)> =
        catalog.packs.iter().filter(|(_, p)| p.extends.is_none()).map(|(i, p)| (i, p, said(catalog, i))).collect();
    let mut out = Vec::new();
    for (i, pack, said) in &alone {
        let id = &pack.head.id.value;
        let given = alone.iter().filter(|(_, other, _)| other.head.id.value != *id);
        out.extend(given.map(|(_, other, theirs)| Likeness {
            pack: id.clone(),
            other: other.head.id.value.to_string(),
            share: said.likeness(theirs),
        }));
        for (_, folder, _, contents) in beside.iter().filter(|(of, _, other, _)| *of == i.row() && **other != **id) {
            let mut theirs = Said::default();
            contents.iter().for_each(|c| theirs.add(c));
            out.push(Likeness { pack: id.clone(), other: folder.clone(), share: said.likeness(&theirs) });
        }
    }
    out
}

fn said(catalog: &Catalog, pack: Idx<Pack>) -> Said {
    let mut said = Said::default();
    catalog.all_docs().filter_map(|d| catalog.head(d)).filter(|h| h.pack == pack).for_each(|h| said.add(&h.content));
    said
}

impl House {
    /// Works the base out.
    pub fn new(pack: Idx<Pack>, base: Catalog, today: jiff::civil::Date) -> House {
        let facts = compute(&base, today);
        House { pack, catalog: base, facts, changes: Vec::new() }
    }

    /// Compares it with the pack that builds on it.
    pub fn compare(&mut self, catalog: &Catalog, facts: &Facts) {
        let base = Side::of(&self.catalog, &self.facts);
        let mut own = Side::of(catalog, facts);
        let of_pack =
            |name: &DocName| catalog.find(name.kind, &name.id).and_then(|d| catalog.head(d)).is_none_or(|head| head.pack == self.pack);
        own.documents.retain(|name, _| of_pack(name));
        own.derived.retain(|name, _| of_pack(name));
        for (part, keys) in PARTS {
            let name = DocName { kind: Kind::Pack, id: part.into() };
            if let Some((_, content)) = own.documents.get_mut(&name) {
                *content = catalog.packs[self.pack].head.content.only(keys);
            }
        }
        self.changes = compare(&apart(base), &apart(own));
    }

    /// The pack file of the base.
    pub fn base(&self) -> Option<&Pack> {
        self.catalog.packs.rows().first()
    }

    /// How the base is called on pages.
    pub fn called(&self) -> String {
        self.base().map(|b| format!("{} {}", b.title.value, b.edition.value)).unwrap_or_default()
    }

    /// Points that belong on the page of a document: its own, and for a protocol or session those of what it rests on,
    /// apart from mere words.
    pub fn on_page(&self, name: &DocName) -> Vec<&Change> {
        let counts = |c: &Change| c.way == Way::Looser || !matches!(c.class, Class::Wording | Class::Note);
        self.changes.iter().filter(|c| c.document == *name || (c.shows_on.contains(name) && counts(c))).collect()
    }

    /// Documents of the pack on which a document rests, here or in the base, and which are not as in the base.
    pub fn differing(&self, facts: &Facts, document: &DocName) -> Vec<DocName> {
        let rests = |facts: &Facts| facts.currency.named(document).map(|s| s.rests_on.clone()).unwrap_or_default();
        let (here, there) = (rests(facts), rests(&self.facts));
        let mut names: Vec<DocName> = here.keys().chain(there.keys()).chain([document]).cloned().collect();
        names.sort();
        names.dedup();
        let own = |facts: &Facts, name: &DocName| facts.currency.named(name).map(|s| s.own);
        names.retain(|n| n.kind != Kind::Change && own(facts, n) != own(&self.facts, n));
        names
    }
}

/// Without what is not about treatment: change documents, records of readers, what the pack says of itself.
fn apart(mut side: Side) -> Side {
    let about = |name: &DocName| name.kind == Kind::Pack && !PARTS.iter().any(|(part, _)| *part == &*name.id);
    side.documents.retain(|name, _| !matches!(name.kind, Kind::Change | Kind::Audit) && !about(name));
    side
}

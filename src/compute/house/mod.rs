//! A pack beside the pack on which it builds: the base as it stands by itself.

pub mod likeness;

use super::{Facts, compute};
use crate::model::content::Content;
use crate::model::docs::Pack;
use crate::model::{Catalog, Idx};
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
        House { pack, catalog: base, facts }
    }

    /// The pack file of the base.
    pub fn base(&self) -> Option<&Pack> {
        self.catalog.packs.rows().first()
    }
}

//! Sources by use: how much rests on each, and what is known about it.

use super::{Dossier, Row, RowKind};
use crate::model::docs::Source;
use crate::model::{Catalog, Idx};

/// A source and what rests on it.
#[derive(Clone, Debug)]
pub struct Used {
    /// The source.
    pub source: Idx<Source>,
    /// Rows by kind, in the order of the kinds; those that rest on it through another row count too.
    pub rows: [usize; RowKind::ALL.len()],
    /// Documents that cite it anywhere.
    pub documents: usize,
}

impl Used {
    /// All rows.
    pub fn all(&self) -> usize {
        self.rows.iter().sum()
    }
}

/// All sources, the most used first.
pub fn used(catalog: &Catalog, dossier: &Dossier) -> Vec<Used> {
    let mut out: Vec<Used> = catalog
        .sources
        .iter()
        .map(|(source, _)| {
            let documents = catalog.used_by(super::doc(crate::model::Kind::Source, source)).len();
            Used { source, rows: [0; RowKind::ALL.len()], documents }
        })
        .collect();
    for row in &dossier.rows {
        for source in dossier.sources(row) {
            if let Some(cell) = out.get_mut(source.row()).and_then(|u| u.rows.get_mut(row.kind as usize)) {
                *cell += 1;
            }
        }
    }
    out.sort_by(|a, b| b.all().cmp(&a.all()).then_with(|| id(catalog, a).cmp(id(catalog, b))));
    out
}

fn id<'a>(catalog: &'a Catalog, used: &Used) -> &'a str {
    &catalog.sources[used.source].head.id.value
}

/// Rows that rest on a source.
pub fn rows_of(dossier: &Dossier, source: Idx<Source>) -> impl Iterator<Item = &Row> {
    dossier.rows.iter().filter(move |r| dossier.sources(r).contains(&source))
}

//! What a reviewer goes through: one row for every claim, number, caution and red flag, with what it rests on.
//!
//! Rows say what stands in the packs and what was derived from it; words of pages are elsewhere. The id of a
//! row is a digest of its kind, document and key path. Lists whose items have ids or numbers use them in the
//! path, others a digest of the item's text, so that indenting and reordering change no id. What was read is
//! told from what stands there now by the mark, a digest of value, sources and places in them.

mod claims;
mod derived;
pub mod matrix;
mod numbers;
pub mod quality;
mod questions;
pub mod ratios;
pub mod reading;
pub mod used;

pub use derived::{caution_path, combination_path, flag_path, total_path};
pub use numbers::home_path;

use super::ProtocolFacts;
use super::appraisal::Appraisal;
use crate::model::docs::Ground;
use crate::model::docs::{Cite, Source};
use crate::model::evidence::Certainty;
use crate::model::{Catalog, DocRef, Idx};
use crate::source::Span;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;

/// Kind of a row.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum RowKind {
    /// A statement with a ground.
    Claim,
    /// An amount that somebody wrote.
    Number,
    /// An amount that is computed from others.
    Computed,
    /// A caution of a protocol for one stressor.
    Caution,
    /// A red flag of a protocol.
    Flag,
}

impl RowKind {
    /// Every kind.
    pub const ALL: [RowKind; 5] = [RowKind::Claim, RowKind::Number, RowKind::Computed, RowKind::Caution, RowKind::Flag];

    /// Word of the kind, part of ids.
    pub fn word(self) -> &'static str {
        match self {
            RowKind::Claim => "claim",
            RowKind::Number => "number",
            RowKind::Computed => "computed",
            RowKind::Caution => "caution",
            RowKind::Flag => "flag",
        }
    }
}

/// One row.
#[derive(Clone, Debug)]
pub struct Row {
    /// Id: twelve hexadecimal digits.
    pub id: String,
    /// Digest of what stands there: eight hexadecimal digits.
    pub mark: String,
    /// Kind.
    pub kind: RowKind,
    /// Document.
    pub doc: DocRef,
    /// Keys from the document to the value, with slashes.
    pub path: String,
    /// Where it stands.
    pub at: Span,
    /// What it is.
    pub name: String,
    /// The value, or the words of a claim.
    pub value: String,
    /// What it rests on.
    pub ground: Ground,
    /// Rows that it is computed from, or whose ground it has because it has none of its own.
    pub from: Vec<usize>,
    /// Certainty of the evidence behind a claim about an effect.
    pub certainty: Option<Certainty>,
}

/// All rows, sorted by kind, document and path.
#[derive(Debug, Default)]
pub struct Dossier {
    /// The rows.
    pub rows: Vec<Row>,
    by_path: BTreeMap<(DocRef, RowKind, String), usize>,
    by_id: BTreeMap<String, usize>,
}

impl Dossier {
    /// The row of a path.
    pub fn at(&self, doc: DocRef, kind: RowKind, path: &str) -> Option<&Row> {
        self.by_path.get(&(doc, kind, path.to_string())).and_then(|i| self.rows.get(*i))
    }

    /// The row of an id.
    pub fn row(&self, id: &str) -> Option<&Row> {
        self.by_id.get(id).and_then(|i| self.rows.get(*i))
    }

    /// Rows of a kind.
    pub fn of(&self, kind: RowKind) -> impl Iterator<Item = &Row> {
        self.rows.iter().filter(move |r| r.kind == kind)
    }

    /// Rows of a document whose path begins with this one.
    pub fn under<'a>(&'a self, doc: DocRef, path: &'a str) -> impl Iterator<Item = &'a Row> {
        let inside = move |p: &str| p.strip_prefix(path).is_some_and(|rest| rest.is_empty() || rest.starts_with('/'));
        [RowKind::Number, RowKind::Computed].into_iter().flat_map(move |kind| {
            let from = (doc, kind, path.to_string());
            let near = self.by_path.range(from..).take_while(move |((d, k, p), _)| (*d, *k) == (doc, kind) && p.starts_with(path));
            near.filter(move |((_, _, p), _)| inside(p)).filter_map(|(_, i)| self.rows.get(*i))
        })
    }

    /// Citations that carry a row: its own; where it has no ground, those of the rows behind it.
    pub fn cites<'a>(&'a self, row: &'a Row) -> Vec<&'a Cite> {
        let mut out: Vec<&Cite> = Vec::new();
        self.gather(row, &mut out, 0);
        out
    }

    fn gather<'a>(&'a self, row: &'a Row, out: &mut Vec<&'a Cite>, depth: usize) {
        let place = |c: &Cite| (c.source.to, c.at.as_ref().map(|a| a.value.clone()));
        for cite in &row.ground.cites {
            if !out.iter().any(|c| place(c) == place(cite)) {
                out.push(cite);
            }
        }
        // Computed from steps, which rest on techniques: two levels, and one for what those rest on.
        if row.ground.is_silent() && depth < 3 {
            row.from.iter().filter_map(|i| self.rows.get(*i)).for_each(|r| self.gather(r, out, depth + 1));
        }
    }

    /// The basis of a row, own or of the rows behind it, each once.
    pub fn bases(&self, row: &Row) -> Vec<&'static str> {
        let mut out = Vec::new();
        self.gather_bases(row, &mut out, 0);
        out
    }

    fn gather_bases(&self, row: &Row, out: &mut Vec<&'static str>, depth: usize) {
        if let Some(basis) = &row.ground.basis
            && !out.contains(&basis.value.word())
        {
            out.push(basis.value.word());
        }
        if row.ground.is_silent() && depth < 3 {
            row.from.iter().filter_map(|i| self.rows.get(*i)).for_each(|r| self.gather_bases(r, out, depth + 1));
        }
    }

    /// Sources that carry a row, each once.
    pub fn sources(&self, row: &Row) -> Vec<Idx<Source>> {
        let mut all: Vec<Idx<Source>> = self.cites(row).iter().filter_map(|c| c.source.to).collect();
        all.sort_unstable();
        all.dedup();
        all
    }

    /// True if a source made up for a demonstration is among those that carry a row.
    pub fn is_invented(&self, catalog: &Catalog, row: &Row) -> bool {
        self.sources(row).iter().any(|s| catalog.sources[*s].is_invented())
    }
}

/// Gathers all rows.
pub(super) fn compute(catalog: &Catalog, protocols: &[ProtocolFacts], appraisal: &Appraisal) -> Dossier {
    let mut rows = Rows { catalog, out: Vec::new(), by_path: BTreeMap::new() };
    claims::gather(&mut rows);
    numbers::gather(&mut rows);
    derived::gather(&mut rows, protocols);
    questions::gather(&mut rows, appraisal);
    rows.finish()
}

/// A ground that says nothing, of itself or because the rows behind it speak.
static SILENT: Ground = Ground { cites: Vec::new(), basis: None };

/// Rows while they are gathered.
struct Rows<'a> {
    catalog: &'a Catalog,
    out: Vec<Row>,
    by_path: BTreeMap<(DocRef, RowKind, String), usize>,
}

/// What a row says, before it has an id.
struct Said<'a> {
    name: String,
    value: String,
    at: Span,
    ground: &'a Ground,
}

impl Rows<'_> {
    /// Adds a row and returns its number. Of two with one path the later one gets a number behind it.
    fn add(&mut self, kind: RowKind, doc: DocRef, path: &str, said: Said<'_>) -> usize {
        let mut path = path.to_string();
        let mut n = 1;
        while self.by_path.contains_key(&(doc, kind, path.clone())) {
            n += 1;
            path = format!("{}~{n}", path.split('~').next().unwrap_or(&path));
        }
        let id = digest(&[kind.word(), doc.kind.word(), self.catalog.id(doc), &path], 12);
        let row = Row {
            id,
            mark: String::new(),
            kind,
            doc,
            path: path.clone(),
            at: said.at,
            name: said.name,
            value: said.value,
            ground: said.ground.clone(),
            from: Vec::new(),
            certainty: None,
        };
        self.by_path.insert((doc, kind, path), self.out.len());
        self.out.push(row);
        self.out.len() - 1
    }

    /// The number of a row.
    fn find(&self, doc: DocRef, kind: RowKind, path: &str) -> Option<usize> {
        self.by_path.get(&(doc, kind, path.to_string())).copied()
    }

    /// Sorts, so that the order of files and lists does not show, and marks.
    fn finish(self) -> Dossier {
        let Rows { catalog, out, .. } = self;
        let mut order: Vec<usize> = (0..out.len()).collect();
        let key = |i: &usize| out.get(*i).map(|r| (r.kind, r.doc.kind, catalog.id(r.doc), r.path.as_str()));
        order.sort_by(|a, b| key(a).cmp(&key(b)));
        let mut place = vec![0; out.len()];
        order.iter().enumerate().for_each(|(new, old)| place[*old] = new);
        let mut rows: Vec<Row> = order.iter().filter_map(|i| out.get(*i).cloned()).collect();
        rows.iter_mut().flat_map(|r| &mut r.from).for_each(|f| *f = place[*f]);
        let by_path = rows.iter().enumerate().map(|(i, r)| ((r.doc, r.kind, r.path.clone()), i)).collect();
        let by_id = rows.iter().enumerate().map(|(i, r)| (r.id.clone(), i)).collect();
        let mut dossier = Dossier { rows, by_path, by_id };
        let marks: Vec<String> = dossier.rows.iter().map(|r| mark(&dossier, r)).collect();
        dossier.rows.iter_mut().zip(marks).for_each(|(row, mark)| row.mark = mark);
        dossier
    }
}

/// Digest of what a reader of the row has to judge. Blanks do not count.
fn mark(dossier: &Dossier, row: &Row) -> String {
    let plain = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let mut cites: Vec<String> = dossier
        .cites(row)
        .iter()
        .map(|c| {
            let part = |t: &Option<crate::source::Text>| t.as_ref().map(|t| plain(&t.value)).unwrap_or_default();
            format!("{}\t{}\t{}", c.source.written.value, part(&c.at), part(&c.supports))
        })
        .collect();
    cites.sort_unstable();
    let certainty = row.certainty.map_or("", Certainty::word);
    let parts: Vec<String> = [plain(&row.value), dossier.bases(row).join(","), certainty.to_string()].into_iter().chain(cites).collect();
    digest(&parts.iter().map(String::as_str).collect::<Vec<_>>(), 8)
}

/// The first digits of the SHA-256 of some texts, each ended by a line break.
fn digest(parts: &[&str], digits: usize) -> String {
    let mut hash = Sha256::new();
    for part in parts {
        hash.update(part.as_bytes());
        hash.update(b"\n");
    }
    let hex: Vec<String> = hash.finalize().iter().map(|b| format!("{b:02x}")).collect();
    hex.concat().chars().take(digits).collect()
}

/// A step of a path for an item that has only words.
fn by_words(words: &str) -> String {
    digest(&[&words.split_whitespace().collect::<Vec<_>>().join(" ")], 8)
}

/// A step of a path from words: lower case, hyphens for everything that is no letter or digit.
fn slug(words: &str) -> String {
    let mapped: String = words.chars().map(|c| if c.is_alphanumeric() { c.to_ascii_lowercase() } else { '-' }).collect();
    mapped.split('-').filter(|p| !p.is_empty()).collect::<Vec<_>>().join("-")
}

/// A document of a row of a table.
fn doc<T>(kind: crate::model::Kind, idx: Idx<T>) -> DocRef {
    DocRef { kind, row: u32::try_from(idx.row()).unwrap_or(u32::MAX) }
}

//! The immutable catalogue: one table for each kind and the references between documents.

use super::docs::{
    Audit, ChangeDoc, Cite, Condition, Flag, Head, KeptText, Ledger, Measure, Muscle, Outcome, Pack, Page, Population, Position, Protocol,
    Question, Session, Source, Technique,
};
use super::ids::{DocName, DocRef, Idx, Kind};
use crate::source::{Span, Text, prose};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

/// Documents of one kind, sorted by pack and path.
#[derive(Debug)]
pub struct Table<T> {
    rows: Vec<T>,
}

impl<T> Default for Table<T> {
    fn default() -> Self {
        Self { rows: Vec::new() }
    }
}

impl<T> Table<T> {
    pub(crate) fn new(rows: Vec<T>) -> Self {
        Self { rows }
    }

    /// Rows with their numbers.
    pub fn iter(&self) -> impl Iterator<Item = (Idx<T>, &T)> {
        self.rows.iter().enumerate().map(|(i, row)| (Idx::new(i), row))
    }

    /// Rows alone.
    pub fn rows(&self) -> &[T] {
        &self.rows
    }

    /// Number of documents.
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// True if there is none.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }
}

impl<T> std::ops::Index<Idx<T>> for Table<T> {
    type Output = T;
    fn index(&self, idx: Idx<T>) -> &T {
        &self.rows[idx.row()]
    }
}

/// A reference seen from its target.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Backref {
    /// The document that is referred to.
    pub target: DocRef,
    /// The document that refers.
    pub from: DocRef,
    /// Where.
    pub at: Span,
    /// True if what `from` says rests on what `target` says; false if it only names it.
    pub rests: bool,
}

/// A text of a document, for checks that read wording.
#[derive(Debug)]
pub struct Wording {
    /// The document.
    pub doc: DocRef,
    /// Key that holds the text (the key of the list, for an item of a list).
    pub key: Box<str>,
    /// The text after YAML escapes.
    pub text: Text,
    /// The source of the text where it differs.
    pub(crate) raw: Option<Box<str>>,
    /// True if the text is Markdown.
    pub markdown: bool,
}

impl Wording {
    /// Place in the file of a part of the text.
    pub fn span_of(&self, part: Range<usize>) -> Span {
        prose::locate(self.raw.as_deref().unwrap_or(&self.text.value), &self.text.value, part, self.text.span)
    }
}

/// Everything that was loaded, linked. Nothing changes it any more.
#[derive(Debug, Default)]
pub struct Catalog {
    /// Packs.
    pub packs: Table<Pack>,
    /// Sign-off ledgers, at most one for each pack.
    pub ledgers: Vec<Ledger>,
    /// Editions that were kept when they were signed.
    pub kept: Vec<KeptText>,
    /// Records of readers.
    pub audits: Table<Audit>,
    /// Changes of a house pack.
    pub changes: Table<ChangeDoc>,
    /// Conditions.
    pub conditions: Table<Condition>,
    /// Red flags.
    pub flags: Table<Flag>,
    /// Measures.
    pub measures: Table<Measure>,
    /// Muscles.
    pub muscles: Table<Muscle>,
    /// Outcomes.
    pub outcomes: Table<Outcome>,
    /// Pages.
    pub pages: Table<Page>,
    /// Populations.
    pub populations: Table<Population>,
    /// Positions.
    pub positions: Table<Position>,
    /// Protocols.
    pub protocols: Table<Protocol>,
    /// Questions.
    pub questions: Table<Question>,
    /// Sessions.
    pub sessions: Table<Session>,
    /// Sources.
    pub sources: Table<Source>,
    /// Techniques.
    pub techniques: Table<Technique>,
    /// Every citation of a value, with the document in which it stands.
    pub cites: Vec<(DocRef, Cite)>,
    /// All references, sorted by target.
    pub(crate) backrefs: Vec<Backref>,
    /// Every document by kind and id.
    pub(crate) by_name: BTreeMap<(Kind, Box<str>), DocRef>,
    /// Every text of every document, in order of files.
    pub wordings: Vec<Wording>,
    /// True if every document could be read and every reference leads somewhere. Only then is it known
    /// what nothing refers to.
    pub complete: bool,
    /// Kinds of which a document could not be read. What they would have said is not known.
    pub unread: BTreeSet<Kind>,
}

impl Catalog {
    /// Common part of any document.
    pub fn head(&self, doc: DocRef) -> Option<&Head> {
        let i = doc.row as usize;
        match doc.kind {
            Kind::Pack => self.packs.rows().get(i).map(|d| &d.head),
            Kind::Audit => self.audits.rows().get(i).map(|d| &d.head),
            Kind::Change => self.changes.rows().get(i).map(|d| &d.head),
            Kind::Condition => self.conditions.rows().get(i).map(|d| &d.head),
            Kind::Flag => self.flags.rows().get(i).map(|d| &d.head),
            Kind::Measure => self.measures.rows().get(i).map(|d| &d.head),
            Kind::Muscle => self.muscles.rows().get(i).map(|d| &d.head),
            Kind::Outcome => self.outcomes.rows().get(i).map(|d| &d.head),
            Kind::Page => self.pages.rows().get(i).map(|d| &d.head),
            Kind::Population => self.populations.rows().get(i).map(|d| &d.head),
            Kind::Position => self.positions.rows().get(i).map(|d| &d.head),
            Kind::Protocol => self.protocols.rows().get(i).map(|d| &d.head),
            Kind::Question => self.questions.rows().get(i).map(|d| &d.head),
            Kind::Session => self.sessions.rows().get(i).map(|d| &d.head),
            Kind::Source => self.sources.rows().get(i).map(|d| &d.head),
            Kind::Technique => self.techniques.rows().get(i).map(|d| &d.head),
        }
    }

    /// The same, to be changed by a test.
    #[cfg(test)]
    pub(crate) fn head_mut(&mut self, doc: DocRef) -> Option<&mut Head> {
        let i = doc.row as usize;
        match doc.kind {
            Kind::Pack => self.packs.rows.get_mut(i).map(|d| &mut d.head),
            Kind::Audit => self.audits.rows.get_mut(i).map(|d| &mut d.head),
            Kind::Change => self.changes.rows.get_mut(i).map(|d| &mut d.head),
            Kind::Condition => self.conditions.rows.get_mut(i).map(|d| &mut d.head),
            Kind::Flag => self.flags.rows.get_mut(i).map(|d| &mut d.head),
            Kind::Measure => self.measures.rows.get_mut(i).map(|d| &mut d.head),
            Kind::Muscle => self.muscles.rows.get_mut(i).map(|d| &mut d.head),
            Kind::Outcome => self.outcomes.rows.get_mut(i).map(|d| &mut d.head),
            Kind::Page => self.pages.rows.get_mut(i).map(|d| &mut d.head),
            Kind::Population => self.populations.rows.get_mut(i).map(|d| &mut d.head),
            Kind::Position => self.positions.rows.get_mut(i).map(|d| &mut d.head),
            Kind::Protocol => self.protocols.rows.get_mut(i).map(|d| &mut d.head),
            Kind::Question => self.questions.rows.get_mut(i).map(|d| &mut d.head),
            Kind::Session => self.sessions.rows.get_mut(i).map(|d| &mut d.head),
            Kind::Source => self.sources.rows.get_mut(i).map(|d| &mut d.head),
            Kind::Technique => self.techniques.rows.get_mut(i).map(|d| &mut d.head),
        }
    }

    /// Name for people of any document.
    pub fn title(&self, doc: DocRef) -> &str {
        let i = doc.row as usize;
        let title = match doc.kind {
            Kind::Pack => self.packs.rows().get(i).map(|d| &d.title),
            Kind::Audit => self.audits.rows().get(i).map(|d| &d.head.id),
            Kind::Change => self.changes.rows().get(i).map(|d| &d.head.id),
            Kind::Condition => self.conditions.rows().get(i).map(|d| &d.name),
            Kind::Flag => self.flags.rows().get(i).map(|d| &d.name),
            Kind::Measure => self.measures.rows().get(i).map(|d| &d.name),
            Kind::Muscle => self.muscles.rows().get(i).map(|d| &d.name),
            Kind::Outcome => self.outcomes.rows().get(i).map(|d| &d.name),
            Kind::Page => self.pages.rows().get(i).map(|d| &d.title),
            Kind::Population => self.populations.rows().get(i).map(|d| &d.name),
            Kind::Position => self.positions.rows().get(i).map(|d| &d.name),
            Kind::Protocol => self.protocols.rows().get(i).map(|d| &d.title),
            Kind::Question => self.questions.rows().get(i).map(|d| &d.title),
            Kind::Session => self.sessions.rows().get(i).map(|d| &d.title),
            Kind::Source => self.sources.rows().get(i).map(|d| &d.bibliography.title),
            Kind::Technique => self.techniques.rows().get(i).map(|d| &d.name),
        };
        title.map_or("", |t| &t.value)
    }

    /// All documents of a kind.
    pub fn docs(&self, kind: Kind) -> impl Iterator<Item = DocRef> + use<> {
        let n = match kind {
            Kind::Pack => self.packs.len(),
            Kind::Audit => self.audits.len(),
            Kind::Change => self.changes.len(),
            Kind::Condition => self.conditions.len(),
            Kind::Flag => self.flags.len(),
            Kind::Measure => self.measures.len(),
            Kind::Muscle => self.muscles.len(),
            Kind::Outcome => self.outcomes.len(),
            Kind::Page => self.pages.len(),
            Kind::Population => self.populations.len(),
            Kind::Position => self.positions.len(),
            Kind::Protocol => self.protocols.len(),
            Kind::Question => self.questions.len(),
            Kind::Session => self.sessions.len(),
            Kind::Source => self.sources.len(),
            Kind::Technique => self.techniques.len(),
        };
        (0..u32::try_from(n).unwrap_or(u32::MAX)).map(move |row| DocRef { kind, row })
    }

    /// All documents.
    pub fn all_docs(&self) -> impl Iterator<Item = DocRef> {
        Kind::ALL.into_iter().flat_map(|kind| self.docs(kind))
    }

    /// Documents that refer to `doc`, each once.
    pub fn used_by(&self, doc: DocRef) -> Vec<DocRef> {
        let mut from: Vec<DocRef> = self.references_to(doc).iter().map(|b| b.from).collect();
        from.sort_unstable();
        from.dedup();
        from
    }

    /// A document by kind and id.
    pub fn find(&self, kind: Kind, id: &str) -> Option<DocRef> {
        self.by_name.get(&(kind, Box::from(id))).copied()
    }

    /// The document that a change changes; `None` for a part of the pack file.
    pub fn changed_by(&self, change: DocRef) -> Option<DocRef> {
        let of = self.changes.rows().get(change.row as usize)?.of.as_ref()?;
        self.find(of.value.kind, &of.value.id).filter(|d| d.kind != Kind::Change)
    }

    /// Id of any document.
    pub fn id(&self, doc: DocRef) -> &str {
        self.head(doc).map_or("", |h| &h.id.value)
    }

    /// What a document is called in ledgers and lists of changes.
    pub fn name(&self, doc: DocRef) -> DocName {
        DocName { kind: doc.kind, id: self.id(doc).into() }
    }

    /// Every other reference to `doc`, with its place.
    pub fn references_to(&self, doc: DocRef) -> &[Backref] {
        let start = self.backrefs.partition_point(|b| b.target < doc);
        let end = self.backrefs.partition_point(|b| b.target <= doc);
        &self.backrefs[start..end]
    }
}

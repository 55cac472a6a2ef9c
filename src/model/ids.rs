//! Names as written and rows as linked. After `link`, code holds rows, never names.

use crate::source::{Span, Text};
use std::marker::PhantomData;

/// A kind of document; the folder says which.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// `pack.yaml`
    Pack,
    /// `audits/`
    Audit,
    /// `changes/`
    Change,
    /// `conditions/`
    Condition,
    /// `flags/`
    Flag,
    /// `measures/`
    Measure,
    /// `muscles/`
    Muscle,
    /// `outcomes/`
    Outcome,
    /// `pages/`
    Page,
    /// `populations/`
    Population,
    /// `positions/`
    Position,
    /// `protocols/`
    Protocol,
    /// `questions/`
    Question,
    /// `sessions/`
    Session,
    /// `sources/`
    Source,
    /// `techniques/`
    Technique,
}

impl Kind {
    /// Every kind.
    pub const ALL: [Kind; 16] = [
        Kind::Pack,
        Kind::Audit,
        Kind::Change,
        Kind::Condition,
        Kind::Flag,
        Kind::Measure,
        Kind::Muscle,
        Kind::Outcome,
        Kind::Page,
        Kind::Population,
        Kind::Position,
        Kind::Protocol,
        Kind::Question,
        Kind::Session,
        Kind::Source,
        Kind::Technique,
    ];

    /// Word for one document of this kind, also the scheme of links in Markdown.
    pub fn word(self) -> &'static str {
        match self {
            Kind::Pack => "pack",
            Kind::Audit => "audit",
            Kind::Change => "change",
            Kind::Condition => "condition",
            Kind::Flag => "flag",
            Kind::Measure => "measure",
            Kind::Muscle => "muscle",
            Kind::Outcome => "outcome",
            Kind::Page => "page",
            Kind::Population => "population",
            Kind::Position => "position",
            Kind::Protocol => "protocol",
            Kind::Question => "question",
            Kind::Session => "session",
            Kind::Source => "source",
            Kind::Technique => "technique",
        }
    }

    /// Folder inside a pack; empty for the pack file itself.
    pub fn folder(self) -> &'static str {
        match self {
            Kind::Pack => "",
            Kind::Audit => "audits",
            Kind::Change => "changes",
            Kind::Condition => "conditions",
            Kind::Flag => "flags",
            Kind::Measure => "measures",
            Kind::Muscle => "muscles",
            Kind::Outcome => "outcomes",
            Kind::Page => "pages",
            Kind::Population => "populations",
            Kind::Position => "positions",
            Kind::Protocol => "protocols",
            Kind::Question => "questions",
            Kind::Session => "sessions",
            Kind::Source => "sources",
            Kind::Technique => "techniques",
        }
    }

    /// The folder, or `pack` for the pack file: the first part of a [`DocName`].
    fn shelf(self) -> &'static str {
        if self == Kind::Pack { "pack" } else { self.folder() }
    }

    /// The kind with this word.
    pub fn from_word(word: &str) -> Option<Kind> {
        Kind::ALL.into_iter().find(|k| k.word() == word)
    }
}

/// Parts of the pack file on which documents rest, each with its keys. The rest of the file (title, edition, notice,
/// waivers, open questions) is about the pack, not about treatment.
pub const PARTS: [(&str, &[&str]); 2] =
    [("house", &["house", "scope", "appointment", "reading-grade"]), ("referral", &["destinations", "emergency", "jurisdiction"])];

/// A document of one kind, of any pack.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DocRef {
    /// Its kind.
    pub kind: Kind,
    /// Its row in the table of that kind.
    pub row: u32,
}

/// A document by what it is called, for texts that outlive a run: ledgers, kept editions, lists of changes.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DocName {
    /// Its kind. For a part of the pack file it is [`Kind::Pack`].
    pub kind: Kind,
    /// Its id, or the part of the pack file.
    pub id: Box<str>,
}

impl DocName {
    /// Reads `protocols/soleus` or, for a part of the pack file, `pack/house`.
    pub fn read(text: &str) -> Option<DocName> {
        let (folder, id) = text.split_once('/')?;
        let kind = Kind::ALL.into_iter().find(|k| k.shelf() == folder)?;
        let plain = |b: u8| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-';
        (!id.is_empty() && id.bytes().all(plain)).then(|| DocName { kind, id: id.into() })
    }
}

impl std::fmt::Display for DocName {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}/{}", self.kind.shelf(), self.id)
    }
}

impl std::fmt::Debug for DocName {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{self}")
    }
}

impl serde::Serialize for DocName {
    fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

impl<'de> serde::Deserialize<'de> for DocName {
    fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let text = String::deserialize(from)?;
        DocName::read(&text).ok_or_else(|| serde::de::Error::custom(format!("`{text}` names no document")))
    }
}

/// A row of the catalogue. Only `link` makes one.
pub struct Idx<T>(pub(crate) u32, PhantomData<fn() -> T>);

impl<T> Idx<T> {
    pub(crate) fn new(row: usize) -> Self {
        Idx(u32::try_from(row).unwrap_or(u32::MAX), PhantomData)
    }

    /// Position in the table.
    pub fn row(self) -> usize {
        self.0 as usize
    }
}

impl<T> Clone for Idx<T> {
    fn clone(&self) -> Self {
        *self
    }
}
impl<T> Copy for Idx<T> {}
impl<T> PartialEq for Idx<T> {
    fn eq(&self, other: &Self) -> bool {
        self.0 == other.0
    }
}
impl<T> Eq for Idx<T> {}
impl<T> PartialOrd for Idx<T> {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}
impl<T> Ord for Idx<T> {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.0.cmp(&other.0)
    }
}
impl<T> std::hash::Hash for Idx<T> {
    fn hash<H: std::hash::Hasher>(&self, state: &mut H) {
        self.0.hash(state);
    }
}
impl<T> std::fmt::Debug for Idx<T> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "#{}", self.0)
    }
}

/// A reference to another document: what was written, and the row it leads to.
pub struct Ref<T> {
    /// The id as written.
    pub written: Text,
    /// Where it leads. Invariant: `None` only if `link` reported it.
    pub to: Option<Idx<T>>,
}

impl<T> Ref<T> {
    /// A reference that is not linked yet.
    pub fn unlinked(written: Text) -> Self {
        Ref { written, to: None }
    }

    /// Where it was written.
    pub fn span(&self) -> Span {
        self.written.span
    }
}

impl<T> Clone for Ref<T> {
    fn clone(&self) -> Self {
        Ref { written: self.written.clone(), to: self.to }
    }
}
impl<T> std::fmt::Debug for Ref<T> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}{:?}", self.written.value, self.to)
    }
}

//! The sign-off ledger of a pack, editions that were kept, and how a pack asks to be signed.

use super::Pack;
use crate::model::content::Digest;
use crate::model::ids::{DocName, Idx};
use crate::source::{FileId, Span, Spanned, Text};
use jiff::civil::Date;
use serde_json::{Map, Value};

/// `approvals.yaml`.
#[derive(Clone, Debug)]
pub struct Ledger {
    /// The pack in whose folder it lies.
    pub pack: Idx<Pack>,
    /// Its file.
    pub file: FileId,
    /// The pack that it names.
    pub of: Text,
    /// Approvals, oldest first.
    pub entries: Vec<Entry>,
    /// Digest of the last entry.
    pub head: Spanned<Digest>,
}

/// An approval and where it stands.
#[derive(Clone, Debug)]
pub struct Entry {
    /// What was approved by whom.
    pub approval: Approval,
    /// The whole entry.
    pub span: Span,
    /// Where each key stands.
    pub keys: Vec<Text>,
}

impl Entry {
    /// Where a key stands; the whole entry if it is not there.
    pub fn at(&self, key: &str) -> Span {
        self.keys.iter().find(|k| &*k.value == key).map_or(self.span, |k| k.span)
    }
}

/// One role approved one state of one document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Approval {
    /// The document.
    pub document: DocName,
    /// Edition of the pack at that time.
    pub edition: String,
    /// Digest of the document and of all on which it rests.
    pub digest: Digest,
    /// Who.
    pub role: String,
    /// When.
    pub date: Date,
    /// To be looked at again by this day.
    pub review_by: Date,
    /// Declaration of interests.
    pub interests: Option<String>,
    /// Note.
    pub note: Option<String>,
    /// Digest of the entry before.
    pub before: Digest,
    /// Detached JSON Web Signature over all of the above.
    pub signature: Option<String>,
}

impl Approval {
    /// Keys and texts in the order of the file, without those that are absent.
    pub fn fields(&self) -> Vec<(&'static str, String)> {
        let maybe = |text: &Option<String>| text.clone();
        let all = [
            ("document", Some(self.document.to_string())),
            ("edition", Some(self.edition.clone())),
            ("digest", Some(self.digest.to_string())),
            ("role", Some(self.role.clone())),
            ("date", Some(self.date.to_string())),
            ("review-by", Some(self.review_by.to_string())),
            ("interests", maybe(&self.interests)),
            ("note", maybe(&self.note)),
            ("before", Some(self.before.to_string())),
            ("signature", maybe(&self.signature)),
        ];
        all.into_iter().filter_map(|(key, text)| Some((key, text?))).collect()
    }

    fn value(&self, signed: bool) -> Value {
        let fields = self.fields().into_iter().filter(|(key, _)| signed || *key != "signature");
        Value::Object(fields.map(|(key, text)| (key.to_string(), Value::String(text))).collect::<Map<_, _>>())
    }

    /// The bytes that a signature covers: everything but the signature, in canonical form (RFC 8785).
    pub fn payload(&self) -> Vec<u8> {
        crate::model::content::canonical(&self.value(false))
    }

    /// Digest of the whole entry, which the next one carries.
    pub fn digest(&self) -> Digest {
        Digest::of_value(&self.value(true))
    }
}

/// A kept edition as it lies on the disk; `compute/currency` reads it.
#[derive(Clone, Debug)]
pub struct KeptText {
    /// The pack.
    pub pack: Idx<Pack>,
    /// The edition that the file is named after.
    pub edition: Box<str>,
    /// Path for messages.
    pub path: String,
    /// JSON.
    pub text: String,
}

/// Whose approval a document needs.
#[derive(Clone, Debug, Default)]
pub struct SignOffRule {
    /// How many roles.
    pub least: Option<Spanned<u32>>,
    /// Clinical roles.
    pub clinical: Vec<Text>,
    /// Reviewing roles.
    pub review: Vec<Text>,
    /// Public keys by role.
    pub keys: Vec<(Text, Text)>,
}

/// A suspension that somebody has read and compiles with.
#[derive(Clone, Debug)]
pub struct Acknowledged {
    /// The suspended document.
    pub document: Text,
    /// Who.
    pub role: Text,
    /// When.
    pub date: Option<Spanned<Date>>,
    /// What was decided.
    pub note: Text,
}

/// The reason of a dangerous change.
#[derive(Clone, Debug)]
pub struct ChangeReason {
    /// Edition that brought it.
    pub edition: Text,
    /// The document that was changed.
    pub document: Text,
    /// Why.
    pub reason: Text,
    /// Who decided.
    pub role: Text,
}

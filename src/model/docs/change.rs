//! Change documents of a house pack: a small patch on one document of the base pack.

use super::Cite;
use super::Head;
use crate::model::content::Digest;
use crate::model::ids::DocName;
use crate::source::{Span, Spanned, Text};

/// A document of `changes/`.
#[derive(Clone, Debug)]
pub struct ChangeDoc {
    /// Common part.
    pub head: Head,
    /// The document that it changes; `None` if that is no name of a document.
    pub of: Option<Spanned<DocName>>,
    /// Digest of what that document said in the base pack when the change was written.
    pub base: Option<Spanned<Digest>>,
    /// Why.
    pub reason: Text,
    /// Role of the author.
    pub author: Text,
    /// The key under which the new values stand.
    pub merge: Span,
    /// What lets a loosening through.
    pub loosening: Option<Loosening>,
}

/// The record that lets a loosening through for a time.
#[derive(Clone, Debug)]
pub struct Loosening {
    /// Why it is right all the same.
    pub argument: Option<Text>,
    /// Sources for that.
    pub cites: Vec<Cite>,
    /// Role of whoever approved it.
    pub approver: Option<Text>,
    /// Last day.
    pub until: Option<Spanned<jiff::civil::Date>>,
    /// Its key.
    pub at: Span,
}

/// Where a document of the effective pack comes from.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Origin {
    /// Written in this pack.
    #[default]
    Own,
    /// Taken from the base pack as it is.
    Inherited,
    /// Taken from the base pack with changes of this pack: the ids of the change documents. For a pack file the
    /// list may be empty: it always stands over that of the base.
    Changed(Vec<Box<str>>),
    /// Written in this pack in place of a document of the base pack with the same name.
    Replaced,
}

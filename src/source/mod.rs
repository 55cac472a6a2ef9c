//! Texts and positions: which file, which bytes, which line.
//!
//! Nothing here knows YAML as a language, packs, or findings. A position is always a byte span in
//! a loaded file, so that every later stage can point at the very characters an author wrote.

mod map;
pub mod prose;
mod tree;

pub use map::{Position, SourceMap};
pub use tree::{Node, NodeKind, pointer_at};

/// A loaded file. Numbers follow the sorted order of paths, so the order of spans is path order.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(pub u32);

/// A half-open byte range in one file.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// The file.
    pub file: FileId,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// Makes a span from byte offsets.
    pub fn new(file: FileId, start: usize, end: usize) -> Self {
        let clamp = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        Self { file, start: clamp(start), end: clamp(end) }
    }

    /// The byte range, for slicing.
    pub fn range(self) -> std::ops::Range<usize> {
        self.start as usize..self.end as usize
    }

    /// True if `other` lies inside this span.
    pub fn contains(self, other: Span) -> bool {
        self.file == other.file && self.start <= other.start && other.end <= self.end
    }
}

/// A value with the place where it was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spanned<T> {
    /// The value.
    pub value: T,
    /// Where it stands.
    pub span: Span,
}

impl<T> Spanned<T> {
    /// Pairs a value with its place.
    pub fn new(value: T, span: Span) -> Self {
        Self { value, span }
    }
}

impl<T> std::ops::Deref for Spanned<T> {
    type Target = T;
    fn deref(&self) -> &T {
        &self.value
    }
}

/// Text as an author wrote it.
pub type Text = Spanned<Box<str>>;

//! What one reader of a pack wrote down: verdicts on rows that were drawn, and ratings of the pack.

use super::Head;
use crate::model::vocabulary::words;
use crate::source::{Spanned, Text};

words! {
    /// What a reader found in the source.
    Verdict {
        /// The source says so, at that place.
        Supports = "supports",
        /// It says a part of it.
        Partly = "partly",
        /// It says something else or nothing about it.
        DoesNot = "does not",
        /// The source or the place could not be found.
        NotFound = "not found",
    }
}

/// A record of one reader.
#[derive(Clone, Debug)]
pub struct Audit {
    /// Common part.
    pub head: Head,
    /// Role of the reader.
    pub role: Text,
    /// Day.
    pub date: Option<Spanned<jiff::civil::Date>>,
    /// Conflicts of interest of the reader, or `none`.
    pub interests: Text,
    /// Rows that were read.
    pub reading: Option<Reading>,
    /// Ratings of the pack.
    pub ratings: Vec<ItemRating>,
    /// Note.
    pub note: Option<Text>,
}

/// A reading of rows that were drawn.
#[derive(Clone, Debug)]
pub struct Reading {
    /// Seed of the draw.
    pub seed: Text,
    /// How many were drawn.
    pub n: Spanned<i64>,
    /// Verdicts.
    pub rows: Vec<ReadRow>,
}

/// A row and the verdict on it.
#[derive(Clone, Debug)]
pub struct ReadRow {
    /// Id and mark of the row with a stop between them.
    pub row: Text,
    /// Verdict.
    pub verdict: Spanned<Verdict>,
    /// What was found.
    pub note: Option<Text>,
}

impl ReadRow {
    /// Id of the row.
    pub fn id(&self) -> &str {
        self.row.value.split_once('.').map_or(&self.row.value, |(id, _)| id)
    }

    /// What stood there when it was read.
    pub fn mark(&self) -> &str {
        self.row.value.split_once('.').map_or("", |(_, mark)| mark)
    }
}

/// The rating of one item, by number.
#[derive(Clone, Debug)]
pub struct ItemRating {
    /// Number of the item.
    pub item: Spanned<i64>,
    /// 1 to 7.
    pub score: Spanned<i64>,
    /// Why.
    pub why: Option<Text>,
}

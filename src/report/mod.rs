//! Findings as people and programs read them. Returns text; only `cli` prints.

pub mod human;
pub mod json;

use crate::finding::{Finding, Level};

/// How many findings of each level.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq, serde::Serialize)]
pub struct Counts {
    /// Errors.
    pub error: usize,
    /// Warnings.
    pub warning: usize,
    /// Notes.
    pub note: usize,
}

impl Counts {
    /// Counts findings.
    pub fn of(findings: &[Finding]) -> Self {
        let count = |level| findings.iter().filter(|f| f.level == level).count();
        Self { error: count(Level::Error), warning: count(Level::Warning), note: count(Level::Note) }
    }

    /// One closing line for people.
    pub fn line(self) -> String {
        let part = |n: usize, word: &str| format!("{n} {word}{}", if n == 1 { "" } else { "s" });
        format!("{}, {}, {}", part(self.error, "error"), part(self.warning, "warning"), part(self.note, "note"))
    }
}

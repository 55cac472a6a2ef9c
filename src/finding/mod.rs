//! What the tool has to say to an author: one plain struct for all checks.
//!
//! A finding cannot be made without a primary place. How it is shown is the business of `report`.

use crate::source::Span;

/// How serious a finding is.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// Stops the build.
    Error,
    /// Stops the build under `--strict`.
    Warning,
    /// Worth knowing.
    Note,
}

impl Level {
    /// The word used in every output.
    pub fn word(self) -> &'static str {
        match self {
            Level::Error => "error",
            Level::Warning => "warning",
            Level::Note => "note",
        }
    }
}

/// A place and what that place contributes.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Label {
    /// Where.
    pub span: Span,
    /// What is there; may be empty.
    pub text: String,
}

/// One mistake, with where it is and how to put it right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// Name of the check, kebab-case.
    pub check: &'static str,
    /// How serious it is, after levels and waivers were applied.
    pub level: Level,
    /// One line, lower case, that makes sense alone.
    pub message: String,
    /// Where it is.
    pub primary: Label,
    /// Other places that belong to it.
    pub related: Vec<Label>,
    /// Rules and numbers behind it.
    pub notes: Vec<String>,
    /// What to type.
    pub help: Option<String>,
}

impl Finding {
    /// Makes a finding at its primary place.
    pub fn new(check: &'static str, level: Level, at: Span, label: impl Into<String>, message: impl Into<String>) -> Self {
        let primary = Label { span: at, text: label.into() };
        Self { check, level, message: message.into(), primary, related: Vec::new(), notes: Vec::new(), help: None }
    }

    /// Adds another place.
    pub fn also(&mut self, at: Span, text: impl Into<String>) -> &mut Self {
        self.related.push(Label { span: at, text: text.into() });
        self
    }

    /// Adds a rule or number.
    pub fn note(&mut self, text: impl Into<String>) -> &mut Self {
        self.notes.push(text.into());
        self
    }

    /// Says how to put it right.
    pub fn help(&mut self, text: impl Into<String>) -> &mut Self {
        self.help = Some(text.into());
        self
    }
}

/// Sorts by place, then name, then message, and drops exact repeats.
pub fn sort(findings: &mut Vec<Finding>) {
    findings.sort_by(|a, b| (a.primary.span, a.check, &a.message, &a.related).cmp(&(b.primary.span, b.check, &b.message, &b.related)));
    findings.dedup();
}

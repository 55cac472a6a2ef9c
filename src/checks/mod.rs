//! From computed facts to findings. One check is one file, one page of explanation and one folder
//! of fixtures.
//!
//! A check reads the catalogue and what was computed from it, nothing else: no files, no other
//! check's result. Levels and waivers are applied afterwards, in `allow`, never inside a check.

pub mod allow;
pub mod anatomy;
pub mod cautions;
pub mod chart;
pub mod dose;
pub mod evidence;
pub mod flags;
pub mod house;
pub mod links;
pub mod measurement;
pub mod order;
pub mod output;
pub mod phrases;
pub mod position;
pub mod prose;
mod registry;
pub mod review;
pub mod stretch;
pub mod structure;
pub mod text;
pub mod thermal;
pub mod totals;
pub mod wording;

pub use registry::{all, named};

use crate::compute::Facts;
use crate::finding::{Finding, Level};
use crate::model::docs::{Head, Pack};
use crate::model::{Catalog, DocRef};
use crate::render::Built;
use crate::source::{Span, Text};
use rayon::prelude::*;
use std::ops::Range;

/// What a check looks at.
pub struct Case<'a> {
    /// The linked documents.
    pub catalog: &'a Catalog,
    /// What was computed from them.
    pub facts: &'a Facts,
    /// The day for which dates are judged.
    pub today: jiff::civil::Date,
}

impl Case<'_> {
    /// The pack of a document.
    pub fn pack(&self, head: &Head) -> &Pack {
        &self.catalog.packs[head.pack]
    }

    /// The pack of a document if it is written in English. Lists of words are in English alone.
    fn english(&self, doc: DocRef) -> Option<&Pack> {
        let pack = self.pack(self.catalog.head(doc)?);
        let language = pack.language.value.split('-').next().unwrap_or_default();
        language.eq_ignore_ascii_case("en").then_some(pack)
    }

    /// Place in the file of a part of a text; the whole text where it cannot be told.
    fn place(&self, text: &Text, part: Range<usize>) -> Span {
        // Texts are kept in the order of files and places.
        let row = self.catalog.wordings.partition_point(|w| w.text.span < text.span);
        let same = self.catalog.wordings.get(row).filter(|w| w.text.span == text.span);
        same.map_or(text.span, |w| w.span_of(part))
    }
}

/// When a check runs.
#[derive(Copy, Clone)]
pub enum Run {
    /// Found while files are read and decoded.
    WhileLoading,
    /// Found while references are resolved.
    WhileLinking,
    /// Found while levels and waivers are applied.
    WhileAllowing,
    /// Looks at the facts.
    Facts(fn(&Case<'_>, &mut Sink)),
    /// Looks at the rendered output, before anything is written.
    Output(fn(&Case<'_>, &output::Output<'_>, &mut Sink)),
    /// Compares the rendered output with the site that stands.
    WhileWriting,
    /// Found when somebody asks about a printed card.
    WhenAsked,
}

/// A check: data, not a type of its own.
pub struct Check {
    /// Name, kebab-case; says what is wrong. Never reused for another meaning.
    pub name: &'static str,
    /// One line for lists.
    pub summary: &'static str,
    /// Level before a pack raises it.
    pub level: Level,
    /// When it runs.
    pub run: Run,
    /// Its page of explanation, Markdown.
    pub page: &'static str,
}

/// Collects the findings of one check.
pub struct Sink {
    check: &'static str,
    level: Level,
    findings: Vec<Finding>,
}

impl Sink {
    /// Reports a mistake at a place; `label` says what that place contributes.
    pub fn report(&mut self, at: Span, label: impl Into<String>, message: impl Into<String>) -> &mut Finding {
        self.findings.push(Finding::new(self.check, self.level, at, label, message));
        let last = self.findings.len() - 1;
        &mut self.findings[last]
    }
}

fn sink(check: &Check) -> Sink {
    Sink { check: check.name, level: check.level, findings: Vec::new() }
}

/// Runs all checks that look at facts.
pub fn run(case: &Case<'_>) -> Vec<Finding> {
    let found: Vec<Vec<Finding>> = all().par_iter().map(|check| run_one(check, case)).collect();
    found.into_iter().flatten().collect()
}

/// Runs one check, if it looks at facts.
pub fn run_one(check: &Check, case: &Case<'_>) -> Vec<Finding> {
    let mut sink = sink(check);
    if let Run::Facts(run) = check.run {
        run(case, &mut sink);
    }
    sink.findings
}

/// Runs all checks that look at the rendered output.
pub fn run_on_output(case: &Case<'_>, built: &[Built]) -> Vec<Finding> {
    let output = output::Output::of(built);
    let found: Vec<Vec<Finding>> = all()
        .par_iter()
        .map(|check| {
            let mut sink = sink(check);
            if let Run::Output(run) = check.run {
                run(case, &output, &mut sink);
            }
            sink.findings
        })
        .collect();
    found.into_iter().flatten().collect()
}

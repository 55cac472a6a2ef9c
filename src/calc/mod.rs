//! The worksheet: the computations of the compiler on a reader's own numbers.
//!
//! One entry is one calculation: its inputs are read with their units and bounds, and the very
//! function that the compiler uses is run on them. An entry that cannot be read fails alone. No
//! formula of the trade lives here, no file is read and nothing is printed.

mod inputs;
mod kinds;
mod outcome;
mod rule;
pub mod show;

pub use kinds::{Kind, all as kinds};
pub use outcome::Outcome;

use crate::finding::{Finding, Level};
use crate::load::worksheet::Worksheet;
use crate::source::{Node, NodeKind, SourceMap, Span, pointer_at};
use inputs::{Inputs, Page};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Said with every result that people read.
pub const CAUTION: &str = "\
Heat, cold and stretch are of a model of an average healthy adult, statistics of the people who were studied. For trained practitioners.
It replaces no measurement, no skin check and no judgement about the person on the table, and it is no medical advice.
Local rules and licensed practice come first.";

/// The key under which text with a unit may stand in place of a number under `key`.
pub fn plain_key(key: &str) -> Option<&str> {
    rule::rule(key).plain(key)
}

/// A calculation after it was tried.
pub struct Done {
    /// Id in the sheet; empty if it has none.
    pub id: String,
    /// Kind as written.
    pub kind: String,
    /// What came out, or what was wrong, in the order of places.
    pub result: Result<Outcome, Vec<Finding>>,
}

/// Why a sheet as a whole was not calculated.
pub struct Unreadable(
    /// What was wrong, in the order of places.
    pub Vec<Finding>,
);

/// Runs every calculation of a worksheet.
///
/// # Errors
/// When the sheet itself is at fault and not one of its entries.
pub fn run(sheet: &Worksheet) -> Result<Vec<Done>, Unreadable> {
    let entries = entries(sheet.tree.as_ref());
    let home = |f: &Finding| entries.iter().position(|e| e.span.contains(f.primary.span));
    let mut own: Vec<Vec<Finding>> = vec![Vec::new(); entries.len()];
    let mut whole = Vec::new();
    for finding in &sheet.findings {
        match home(finding).and_then(|i| own.get_mut(i)) {
            Some(list) => list.push(finding.clone()),
            None => whole.push(finding.clone()),
        }
    }
    if !whole.is_empty() || entries.is_empty() {
        return Err(Unreadable(whole));
    }
    same_ids(entries, &mut own);
    Ok(entries.par_iter().zip(own).map(|(entry, findings)| one(sheet, entry, findings)).collect())
}

fn entries(tree: Option<&Node>) -> &[Node] {
    match tree.and_then(|t| t.get("calculations")).map(|n| &n.kind) {
        Some(NodeKind::Seq(items)) => items,
        _ => &[],
    }
}

fn same_ids(entries: &[Node], own: &mut [Vec<Finding>]) {
    let mut seen: BTreeMap<&str, Span> = BTreeMap::new();
    for (entry, findings) in entries.iter().zip(own) {
        let Some((id, at)) = entry.get("id").and_then(|n| n.text().map(|t| (t, n.span))) else { continue };
        let Some(first) = seen.get(id) else {
            seen.insert(id, at);
            continue;
        };
        let mut finding = Finding::new("duplicate-key", Level::Error, at, "used again here", format!("the id `{id}` stands twice"));
        finding.also(*first, "first used here").help("give each calculation an id of its own");
        findings.push(finding);
    }
}

fn one(sheet: &Worksheet, entry: &Node, mut findings: Vec<Finding>) -> Done {
    crate::finding::sort(&mut findings);
    let word = |key| entry.get(key).and_then(Node::text).unwrap_or_default().to_string();
    let (id, kind) = (word("id"), word("kind"));
    let result = if findings.is_empty() { calculate(sheet, entry, &kind) } else { Err(findings) };
    Done { id, kind, result }
}

fn calculate(sheet: &Worksheet, entry: &Node, kind: &str) -> Result<Outcome, Vec<Finding>> {
    let page = Page::new(sheet.file, sheet.map.text(sheet.file));
    let outcome = entry.entry("inputs").zip(kinds::named(kind)).and_then(|((key, node), kind)| {
        let NodeKind::Map(entries) = &node.kind else { return None };
        (kind.run)(&Inputs::new(&page, entries, key.span, "inputs", kind.keys))
    });
    let mut findings = page.into_findings();
    match outcome {
        Some(outcome) if findings.is_empty() => Ok(outcome),
        _ => {
            if findings.is_empty() {
                findings.push(Finding::new("schema-shape", Level::Error, entry.span, "", "this calculation cannot be read"));
            }
            crate::finding::sort(&mut findings);
            Err(findings)
        }
    }
}

/// Where a finding is, as programs read it.
fn place(finding: &Finding, map: &SourceMap, tree: Option<&Node>) -> (String, usize, usize) {
    let span = finding.primary.span;
    let at = map.position(span.file, span.start);
    (tree.map(|t| pointer_at(t, span)).unwrap_or_default(), at.line, at.column)
}

//! Findings for programs: one object, versioned.

use super::Counts;
use crate::checks::allow::Located;
use crate::finding::{Finding, Label};
use crate::model::docs::Waiver;
use crate::source::{SourceMap, Span};
use serde::Serialize;

#[derive(Serialize)]
struct Report<'a> {
    version: u32,
    findings: Vec<Item<'a>>,
    /// What waivers let through: no part of the counts, and not to be forgotten.
    suppressions: Vec<Suppression<'a>>,
    counts: Counts,
}

#[derive(Serialize)]
struct Suppression<'a> {
    finding: Item<'a>,
    reason: &'a str,
    role: &'a str,
    until: Option<String>,
}

#[derive(Serialize)]
struct Item<'a> {
    check: &'a str,
    level: &'a str,
    message: &'a str,
    document: String,
    pointer: String,
    labels: Vec<Place<'a>>,
    notes: &'a [String],
    help: Option<&'a str>,
}

#[derive(Serialize)]
struct Place<'a> {
    file: &'a str,
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
    text: &'a str,
    primary: bool,
}

/// Findings as JSON text.
pub fn render(findings: &[Finding], waived: &[(Finding, &Waiver)], map: &SourceMap, locate: &dyn Fn(Span) -> Located) -> String {
    let suppressions = waived.iter().map(|(f, w)| Suppression {
        finding: item(f, map, locate),
        reason: &w.reason.value,
        role: &w.role.value,
        until: w.until.as_ref().map(|d| d.value.to_string()),
    });
    let report = Report {
        version: 1,
        findings: findings.iter().map(|f| item(f, map, locate)).collect(),
        suppressions: suppressions.collect(),
        counts: Counts::of(findings),
    };
    let mut text = serde_json::to_string_pretty(&report).unwrap_or_default();
    text.push('\n');
    text
}

fn item<'a>(f: &'a Finding, map: &'a SourceMap, locate: &dyn Fn(Span) -> Located) -> Item<'a> {
    let place = locate(f.primary.span);
    Item {
        check: f.check,
        level: f.level.word(),
        message: &f.message,
        document: place.document,
        pointer: place.pointer,
        labels: std::iter::once(label(&f.primary, map, true)).chain(f.related.iter().map(|l| label(l, map, false))).collect(),
        notes: &f.notes,
        help: f.help.as_deref(),
    }
}

fn label<'a>(label: &'a Label, map: &'a SourceMap, primary: bool) -> Place<'a> {
    let span = label.span;
    let (start, end) = (map.position(span.file, span.start), map.position(span.file, span.end));
    Place {
        file: map.path(span.file),
        line: start.line,
        column: start.column,
        end_line: end.line,
        end_column: end.column,
        text: &label.text,
        primary,
    }
}

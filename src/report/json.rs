//! Findings for programs: one object, versioned.

use super::Counts;
use crate::finding::{Finding, Label};
use crate::source::{SourceMap, Span};
use serde::Serialize;

#[derive(Serialize)]
struct Report<'a> {
    version: u32,
    findings: Vec<Item<'a>>,
    counts: Counts,
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
pub fn render(findings: &[Finding], map: &SourceMap, locate: &dyn Fn(Span) -> crate::checks::allow::Located) -> String {
    let items = findings
        .iter()
        .map(|f| {
            let place = locate(f.primary.span);
            let labels = std::iter::once(label(&f.primary, map, true)).chain(f.related.iter().map(|l| label(l, map, false))).collect();
            Item {
                check: f.check,
                level: f.level.word(),
                message: &f.message,
                document: place.document,
                pointer: place.pointer,
                labels,
                notes: &f.notes,
                help: f.help.as_deref(),
            }
        })
        .collect();
    let report = Report { version: 1, findings: items, counts: Counts::of(findings) };
    let mut text = serde_json::to_string_pretty(&report).unwrap_or_default();
    text.push('\n');
    text
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

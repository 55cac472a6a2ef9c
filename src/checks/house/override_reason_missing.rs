//! A record of a loosening that does not say enough.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::{ChangeDoc, Loosening};
use crate::source::{Span, Text};

/// The check.
pub static CHECK: Check = Check {
    name: "override-reason-missing",
    summary: "the record of a loosening is not complete",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("override_reason_missing.md"),
};

/// Longest time for which a loosening is let through. Common practice of exceptions in safety work, no source.
const MONTHS: i32 = 12;
/// Fewer words than this are no argument.
const WORDS: usize = 5;

fn run(case: &Case<'_>, sink: &mut Sink) {
    for change in case.catalog.changes.rows() {
        let Some(record) = &change.loosening else { continue };
        let lacks = lacking(case, change, record);
        if let Some((at, label, _)) = lacks.first() {
            let all: Vec<&str> = lacks.iter().map(|(.., what)| what.as_str()).collect();
            let message = format!("the record of the loosening `{}` is not complete: {}", change.head.id.value, all.join("; "));
            sink.report(*at, *label, message)
                .note("A loosening is let through only with an argument or a source, an approver other than the author, and an end.")
                .help("complete `loosening: {argument, cite, approver, until}`, or take the loosening back");
        }
    }
}

fn lacking(case: &Case<'_>, change: &ChangeDoc, record: &Loosening) -> Vec<(Span, &'static str, String)> {
    let mut out = Vec::new();
    let roles = &case.catalog.packs[change.head.pack].roles;
    let is_role = |role: &Text| roles.iter().any(|r| r.value == role.value);
    match &record.argument {
        _ if !record.cites.is_empty() => {}
        None => out.push((record.at, "no argument", "neither argument nor source".to_string())),
        Some(text) if text.value.split_whitespace().count() < WORDS => {
            out.push((text.span, "says too little", format!("an argument of fewer than {WORDS} words")));
        }
        Some(_) => {}
    }
    match &record.approver {
        None => out.push((record.at, "nobody approved it", "no approver".to_string())),
        Some(role) if role.value == change.author.value => {
            out.push((role.span, "the author", "the author is the approver".to_string()));
        }
        Some(role) if !is_role(role) => {
            out.push((role.span, "no role of this pack", format!("`{}` is no role of this pack", role.value)));
        }
        Some(_) => {}
    }
    if !is_role(&change.author) {
        out.push((change.author.span, "no role of this pack", format!("`{}` is no role of this pack", change.author.value)));
    }
    let latest = case.today.checked_add(jiff::Span::new().months(MONTHS)).ok();
    match &record.until {
        None => out.push((record.at, "no end", "no last day".to_string())),
        Some(day) if latest.is_some_and(|latest| day.value > latest) => {
            out.push((day.span, "too far ahead", format!("{} is more than {MONTHS} months ahead", day.value)));
        }
        Some(_) => {}
    }
    out
}

//! A document that was approved and is another now, or rests on something that is.

use super::editions;
use super::named::list;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::compare::{Change, Side, compare};
use crate::compute::currency::since::{How, Moved, Since};
use crate::finding::Level;
use crate::model::DocName;
use crate::source::Span;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// The check.
pub static CHECK: Check = Check {
    name: "signed-digest-differs",
    summary: "a document, or something on which it rests, has changed since it was approved",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("signed_digest_differs.md"),
};

/// What moved, each with the word for how.
type Cause = Vec<(DocName, &'static str)>;

/// One change un-signs everything that rests on it, and is one finding.
fn run(case: &Case<'_>, sink: &mut Sink) {
    let mut by_cause: BTreeMap<Cause, (Date, Vec<DocName>)> = BTreeMap::new();
    for statement in case.catalog.all_docs().filter_map(|d| case.facts.currency.of(case.catalog, d)) {
        let name = &statement.name;
        let (date, cause) = match case.facts.currency.since(name) {
            Since::Moved(date, moved) => (date, moved.iter().map(|m: &Moved| (m.name.clone(), m.how.word())).collect()),
            Since::NotKept(date) => (date, vec![(name.clone(), "changed, and the edition in which it was signed is not kept")]),
            Since::First | Since::Same => continue,
        };
        let entry = by_cause.entry(cause).or_insert((date, Vec::new()));
        entry.0 = entry.0.max(date);
        entry.1.push(name.clone());
    }
    for (cause, (date, unsigned)) in by_cause {
        one(case, &cause, date, &unsigned, sink);
    }
}

/// Lines that a message shows of what changed.
const SHOWN: usize = 4;

/// Each value that is another than in the state that was signed, in the documents that moved.
fn values(case: &Case<'_>, cause: &[(DocName, &str)], unsigned: &[DocName]) -> Vec<String> {
    let currency = &case.facts.currency;
    let earlier = unsigned.iter().filter_map(|n| currency.sign_off(n)?.earlier.as_ref());
    let Some((kept, moment)) = earlier.rev().find_map(|a| currency.kept_for(a)) else { return Vec::new() };
    let changes = compare(&Side::kept(kept, moment), &Side::of(case.catalog, case.facts));
    let own: Vec<&Change> = changes.iter().filter(|c| cause.iter().any(|(n, _)| *n == c.document)).collect();
    let mut lines: Vec<String> = own.iter().take(SHOWN).map(|c| editions::line(c)).collect();
    if own.len() > SHOWN {
        lines.push(format!("and {} more values", own.len() - SHOWN));
    }
    lines
}

fn place(case: &Case<'_>, name: &DocName) -> Option<Span> {
    let doc = case.catalog.find(name.kind, &name.id);
    match doc {
        Some(doc) => case.catalog.head(doc).map(|h| h.at),
        None => case.catalog.packs.rows().first().map(|p| p.head.at),
    }
}

fn one(case: &Case<'_>, cause: &[(DocName, &str)], date: Date, unsigned: &[DocName], sink: &mut Sink) {
    let first = cause.iter().find(|(_, how)| *how != How::Gone.word()).or(cause.first());
    let (Some((name, how)), Some(other)) = (first, unsigned.first()) else { return };
    let Some(at) = place(case, name).or_else(|| place(case, other)) else { return };
    let what = if unsigned.len() == 1 { format!("`{other}`") } else { format!("{} documents", unsigned.len()) };
    let own = unsigned.len() == 1 && other == name;
    let message = if own {
        format!("`{name}` is another than the one that was approved on {date}")
    } else {
        format!("`{name}` is {how} since {what} that rest on it were approved, last on {date}")
    };
    let finding = sink.report(at, *how, message);
    for (also, how) in cause.iter().filter(|(n, _)| n != name).take(6) {
        if let Some(at) = place(case, also) {
            finding.also(at, format!("{also}: {how}"));
        }
    }
    for line in values(case, cause, unsigned) {
        finding.note(line);
    }
    if !own {
        finding.note(format!("No longer signed: {}.", list(unsigned.iter())));
    }
    finding.help("`fascicle compare` shows each value; then approve again, or take the change back");
}

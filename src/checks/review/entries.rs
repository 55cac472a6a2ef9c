//! Entries of ledgers that hold.

use crate::checks::Case;
use crate::model::docs::Entry;
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

/// Entries of every ledger that is whole.
pub(super) fn all<'a>(case: &'a Case<'_>) -> impl Iterator<Item = &'a Entry> {
    case.catalog.ledgers.iter().zip(&case.facts.currency.faults).filter(|(_, f)| f.is_empty()).flat_map(|(l, _)| &l.entries)
}

/// Those that count, by the day of the next look: for each document and role the one entry.
pub(super) fn by_review_day<'a>(case: &'a Case<'_>) -> BTreeMap<Date, Vec<&'a Entry>> {
    let mut days: BTreeMap<Date, Vec<&Entry>> = BTreeMap::new();
    let mut seen = BTreeSet::new();
    for entry in in_force(case) {
        let first = case.facts.currency.sign_off(&entry.approval.document).and_then(|s| s.review_by);
        // A document is due by the first of its days, and is named once.
        if first == Some(entry.approval.review_by) && seen.insert(&entry.approval.document) {
            days.entry(entry.approval.review_by).or_default().push(entry);
        }
    }
    days
}

/// Those that count for a document as it is now.
pub(super) fn in_force<'a>(case: &'a Case<'_>) -> impl Iterator<Item = &'a Entry> {
    let counts = |e: &&Entry| case.facts.currency.sign_off(&e.approval.document).is_some_and(|s| s.current.contains(&e.approval));
    all(case).filter(counts)
}

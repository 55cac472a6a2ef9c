//! The edition before the present one, as it was kept when it was signed, and what has changed since.

use crate::checks::Case;
use crate::compute::compare::{Change, Side, compare};
use crate::compute::currency::kept::{Kept, Moment};
use crate::model::Idx;
use crate::model::docs::Pack;

/// What has changed since the last signed state of an edition of this pack that `wanted` picks; the edition it was in.
pub(super) fn since(case: &Case<'_>, idx: Idx<Pack>, wanted: &dyn Fn(&str) -> bool) -> Option<(String, Vec<Change>)> {
    let kept = case.catalog.kept.iter().zip(&case.facts.currency.kept).filter(|(text, _)| text.pack == idx);
    let last = kept
        .filter_map(|(_, kept)| kept.as_ref().ok())
        .filter(|k| wanted(&k.edition))
        .filter_map(|k| Some((k, k.states.last()?)))
        .max_by_key(|(k, _)| numbers(&k.edition));
    let (kept, moment): (&Kept, &Moment) = last?;
    Some((kept.edition.clone(), compare(&Side::kept(kept, moment), &Side::of(case.catalog, case.facts))))
}

/// The three numbers of an edition; the schema has seen to their form.
pub(super) fn numbers(edition: &str) -> Vec<u64> {
    edition.split('.').filter_map(|n| n.parse().ok()).collect()
}

/// A change in one line.
pub(super) fn line(change: &Change) -> String {
    let old = change.old.as_deref().unwrap_or("nothing");
    let new = change.new.as_deref().unwrap_or("nothing");
    let ratio = change.ratio.map(|r| format!(" ({} times)", crate::model::quantity::number(r))).unwrap_or_default();
    format!("{}, {}: {old} → {new}{ratio}", change.document, change.path)
}

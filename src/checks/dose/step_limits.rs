//! Limits for one step: which of them a step passes, and by what.

use super::item::{Item, inside};
use crate::compute::amount::shown;
use crate::compute::ledger::holds_at;
use crate::compute::steps::Load;
use crate::model::docs::{Amount, Limit};
use crate::model::interval::{Interval, exceeds};
use crate::model::region::{Place, regions};
use crate::model::unit::Dim;
use crate::model::vocabulary::{Per, Stressor};
use crate::source::Span;

/// A limit that a step passes.
pub struct Passed<'a> {
    /// The limit.
    pub limit: &'a Limit,
    /// Its most.
    pub max: &'a Amount,
    /// True if the house set it, false if the technique did.
    pub house: bool,
    /// The most of the step, as shown.
    pub given: String,
    /// Where the step says so.
    pub at: Span,
}

/// Limits that an item passes: those for some regions only, or those that hold everywhere. The
/// strictest of each stressor and dimension stands first.
pub fn passed<'a>(item: &Item<'a>, regional: bool) -> Vec<Passed<'a>> {
    let house = item.pack.limits.iter().map(|l| (l, true));
    let own = item.technique.limits.iter().map(|l| (l, false));
    let mut out: Vec<Passed<'a>> = house
        .chain(own)
        .filter(|(l, _)| l.per == Per::Step && is_regional(l) == regional && (!regional || holds_at(l, &item.facts.places)))
        .filter_map(|(limit, house)| judge(item, limit, house))
        .collect();
    out.sort_by(|a, b| {
        let key = |p: &Passed<'_>| (p.limit.stressor, p.max.value.dim());
        key(a).cmp(&key(b)).then(a.max.value.base().hi.total_cmp(&b.max.value.base().hi))
    });
    out
}

/// Groups of passed limits that share stressor and dimension.
pub fn groups<'p, 'a>(passed: &'p [Passed<'a>]) -> impl Iterator<Item = &'p [Passed<'a>]> {
    passed.chunk_by(|a, b| a.limit.stressor == b.limit.stressor && a.max.value.dim() == b.max.value.dim())
}

/// Region of the item in which a limit holds, for messages.
pub fn place_of(item: &Item<'_>, limit: &Limit) -> String {
    let tagged = |p: &&Place| limit.tags.iter().any(|t| regions().get(p.region).tags.contains(t));
    let named = |p: &&Place| limit.regions.all.iter().any(|q| q.meets(**p));
    item.facts.places.iter().find(|p| tagged(p) || named(p)).map_or_else(String::new, |p| inside(&p.shown()))
}

fn is_regional(limit: &Limit) -> bool {
    // Regions that were written and could not be read still make a limit a regional one.
    !(limit.regions.written.is_empty() && limit.tags.is_empty())
}

fn judge<'a>(item: &Item<'a>, limit: &'a Limit, house: bool) -> Option<Passed<'a>> {
    let max = limit.max.as_ref()?;
    let load = item.facts.load(limit.stressor)?;
    let given = amount(load, max.value.dim())?;
    let over = given.is_finite() && exceeds(given, max.value.base().hi);
    over.then(|| Passed {
        limit,
        max,
        house,
        given: shown(max.value.dim(), Interval::exact(given)),
        at: place_in_dose(item, limit.stressor, max),
    })
}

/// Most of a load in a dimension: the peak for pain, the total else.
fn amount(load: &Load, dim: Dim) -> Option<f64> {
    match load.total {
        _ if dim == Dim::Pain => load.peak,
        Some((own, total)) if own == dim => Some(total.hi),
        _ => None,
    }
}

/// The dose entry behind the amount.
fn place_in_dose(item: &Item<'_>, stressor: Stressor, max: &Amount) -> Span {
    let exposes = item.technique.exposes.iter().find(|e| e.stressor == stressor);
    let name = if max.value.dim() == Dim::Pain {
        exposes.and_then(|e| e.peak.as_ref())
    } else {
        exposes.and_then(|e| e.total.first()).filter(|_| exposes.is_some_and(|e| e.total.len() == 1))
    };
    name.map_or_else(|| item.dose_at(), |n| item.entry_at(&n.value))
}

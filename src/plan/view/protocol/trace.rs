//! From the numbers of a protocol page to their rows in the dossier, from which the source is one link away.

use crate::compute::dossier::{Row, RowKind, caution_path, combination_path, flag_path, total_path};
use crate::compute::ledger::Cell;
use crate::compute::together::Combination;
use crate::model::docs::{Condition, Flag, Protocol, Technique};
use crate::model::vocabulary::{Per, Stressor};
use crate::model::{DocRef, Idx, Kind};
use crate::plan::site::{Site, doc};
use crate::plan::view::audit::trace;
use crate::plan::view::parts::Trace;

fn one(site: &Site<'_>, row: &Row) -> Option<Trace> {
    let link = trace(site, row.doc, row.kind, &row.path)?;
    // The step or home item is plain from where the link stands.
    let name = link.text.split_once(", ").filter(|_| row.path.starts_with("steps/") || row.path.starts_with("home/"));
    Some(Trace { name: name.map_or(link.text.clone(), |(_, rest)| rest.to_string()), href: link.href })
}

/// Rows of a step or home item, and of the times that its technique sets.
pub fn under(site: &Site<'_>, own: DocRef, path: &str, technique: Option<Idx<Technique>>) -> Vec<Trace> {
    let mut out: Vec<Trace> = site.facts.dossier.under(own, path).filter_map(|r| one(site, r)).collect();
    if let Some(t) = technique {
        let set =
            ["monitoring-every", "set-up"].into_iter().filter_map(|p| site.facts.dossier.at(doc(Kind::Technique, t), RowKind::Number, p));
        out.extend(set.filter_map(|r| one(site, r)));
    }
    out
}

/// Row of a total.
pub fn total(site: &Site<'_>, own: DocRef, cell: &Cell, per: Per) -> Option<String> {
    trace(site, own, RowKind::Computed, &total_path(site.catalog, cell, per)).map(|l| l.href)
}

/// Row of a caution.
pub fn caution(site: &Site<'_>, own: DocRef, condition: Idx<Condition>, stressor: Stressor) -> Option<String> {
    let id = &site.catalog.conditions[condition].head.id.value;
    trace(site, own, RowKind::Caution, &caution_path(id, stressor)).map(|l| l.href)
}

/// Row of a combination.
pub fn combination(site: &Site<'_>, own: DocRef, combination: &Combination, stressor: Stressor) -> Option<String> {
    trace(site, own, RowKind::Caution, &combination_path(site.catalog, combination, stressor)).map(|l| l.href)
}

/// Row of a red flag.
pub fn flag(site: &Site<'_>, own: DocRef, flag: Idx<Flag>) -> Option<String> {
    trace(site, own, RowKind::Flag, &flag_path(&site.catalog.flags[flag].head.id.value)).map(|l| l.href)
}

/// Rows of what stands beside the steps: spacing, appointment, ages, whole time, house numbers, the points of the
/// muscle, and the measures.
pub fn of_protocol(site: &Site<'_>, own: DocRef, p: &Protocol) -> Vec<Trace> {
    let dossier = &site.facts.dossier;
    let mut out: Vec<Trace> = ["spacing", "appointment", "population", "time"]
        .into_iter()
        .flat_map(|path| dossier.under(own, path))
        .filter_map(|r| one(site, r))
        .collect();
    let pack = doc(Kind::Pack, p.head.pack);
    out.extend(["appointment", "house/pain-cap"].into_iter().filter_map(|path| one(site, dossier.at(pack, RowKind::Number, path)?)));
    if let Some(muscle) = p.muscle.to {
        out.extend(dossier.under(doc(Kind::Muscle, muscle), "points").filter_map(|r| one(site, r)));
    }
    let mut measures: Vec<_> = p.steps.iter().filter_map(|s| s.measure.as_ref()?.to).collect();
    measures.sort_unstable();
    measures.dedup();
    for measure in measures {
        let all = ["errors", "meaningful"].into_iter().flat_map(|path| dossier.under(doc(Kind::Measure, measure), path));
        out.extend(all.filter_map(|r| one(site, r)));
    }
    out
}

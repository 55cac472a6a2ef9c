//! Raised levels and waivers, applied once, after all checks.
//!
//! They stand in `pack.yaml` with reason, role and end date. One that matches nothing, or whose day
//! has passed, is itself a finding.

use super::named;
use crate::finding::{Finding, Level};
use crate::model::Catalog;
use crate::model::docs::{Raise, Waiver};
use crate::source::Span;
use jiff::civil::Date;

/// Where a finding is, in words of a pack.
pub struct Located {
    /// Folder and id, as `protocols/soleus`; `pack.yaml` for the pack file.
    pub document: String,
    /// JSON pointer of the primary place.
    pub pointer: String,
}

/// Applies levels and waivers; returns what is left and what they themselves did wrong.
pub fn apply(catalog: &Catalog, today: Date, findings: Vec<Finding>, locate: &dyn Fn(Span) -> Located) -> Vec<Finding> {
    let packs = catalog.packs.rows();
    let mut out = Vec::new();
    let waivers: Vec<&Waiver> = packs.iter().flat_map(|p| &p.waivers).collect();
    let raises: Vec<&Raise> = packs.iter().flat_map(|p| &p.levels).collect();
    let (mut waived, mut raised) = (vec![false; waivers.len()], vec![false; raises.len()]);
    for mut finding in findings {
        let place = locate(finding.primary.span);
        if let Some(i) = waivers.iter().position(|w| live(w.until.as_ref(), today) && covers(w, &finding, &place)) {
            waived[i] = true;
            continue;
        }
        for (i, raise) in raises.iter().enumerate() {
            if *raise.check.value == *finding.check {
                raised[i] = true;
                if live(raise.until.as_ref(), today) {
                    finding.level = finding.level.min(level(&raise.level.value));
                }
            }
        }
        out.push(finding);
    }
    for (waiver, used) in waivers.iter().zip(waived) {
        out.extend(judge(&waiver.check, waiver.until.as_ref(), today, used, "waiver"));
    }
    for (raise, _) in raises.iter().zip(raised) {
        out.extend(judge(&raise.check, raise.until.as_ref(), today, named(&raise.check.value).is_some(), "raised level"));
    }
    out
}

/// Findings that a waiver lets through on this day, each with the waiver.
pub fn waived<'a>(catalog: &'a Catalog, today: Date, findings: &[Finding], locate: &dyn Fn(Span) -> Located) -> Vec<(Finding, &'a Waiver)> {
    let waivers: Vec<&Waiver> = catalog.packs.rows().iter().flat_map(|p| &p.waivers).collect();
    let by = |f: &Finding| {
        let place = locate(f.primary.span);
        waivers.iter().find(|w| live(w.until.as_ref(), today) && covers(w, f, &place)).map(|w| (f.clone(), *w))
    };
    findings.iter().filter_map(by).collect()
}

fn level(word: &str) -> Level {
    if word == "error" { Level::Error } else { Level::Warning }
}

fn live(until: Option<&crate::source::Spanned<Date>>, today: Date) -> bool {
    until.is_none_or(|d| d.value >= today)
}

fn covers(waiver: &Waiver, finding: &Finding, place: &Located) -> bool {
    *waiver.check.value == *finding.check
        && *waiver.document.value == *place.document
        && waiver.pointer.as_ref().is_none_or(|p| place.pointer.starts_with(&*p.value))
}

fn judge(
    check: &crate::source::Text,
    until: Option<&crate::source::Spanned<Date>>,
    today: Date,
    used: bool,
    what: &str,
) -> Option<Finding> {
    if let Some(day) = until.filter(|d| d.value < today) {
        let message = format!("the {what} for `{}` ended on {}", check.value, day.value);
        let mut finding = Finding::new("waiver-expired", Level::Error, day.span, "this day has passed", message);
        finding.help("mend what it let through, or decide again with a new reason and day");
        return Some(finding);
    }
    if used {
        return None;
    }
    let message = format!("the {what} for `{}` matches nothing", check.value);
    let mut finding = Finding::new("waiver-unmatched", Level::Error, check.span, "nothing to let through", message);
    let unknown = named(&check.value).is_none();
    finding.help(if unknown { "there is no such check; `fascicle explain` lists all" } else { "delete it: what it let through is mended" });
    Some(finding)
}

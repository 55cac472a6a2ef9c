//! What a condition tells whoever carries out one step or home item: the strength, and the numbers of its limits.
//! Where that is gathered under the numbers of a protocol or of a session is up to the card and the page.

use super::condition::{numbers, numbers_of};
use super::protocol::stop;
use crate::compute::cautions::Hit;
use crate::model::docs::{Condition, Dose, DoseEntry, DoseValue, Protocol, Rule};
use crate::model::interval::exceeds;
use crate::model::unit::Dim;
use crate::model::vocabulary::Strength;
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, text};

/// What one step is told: the strength and the numbers of its limits.
pub type Told = (Strength, String);

/// Which numbers of a limit are given.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Given {
    /// All.
    All,
    /// Only those to which the step does not keep as it is written; another might be read as leave to go up to it.
    Beyond,
}

/// A limit that the step keeps to.
pub const AS_WRITTEN: &str = "no more than written";

/// Rows of a condition, its own or those for it together with others.
pub type Rows<'a> = (&'a Condition, &'a [Rule]);

/// What hits of one step or home item of a protocol tell its reader.
///
/// What is barred for whoever has the condition stands alone, and is told as never, since here the trouble need not show.
/// What is left out where the trouble is goes on elsewhere, so limits and clearances stand beside it; where there is any
/// of these, watching goes without saying.
pub fn told(site: &Site<'_>, idx: Idx<Protocol>, (condition, rules): Rows<'_>, hits: &[&Hit], given: Given) -> Vec<Told> {
    let any = |strength: Strength| hits.iter().any(|h| h.strength == strength).then(|| (strength, String::new()));
    let bars = hits.iter().any(|h| h.strength == Strength::NotHere && rules.get(h.rule).is_some_and(|r| condition.bars(r)));
    if any(Strength::Never).is_some() || bars {
        return vec![(Strength::Never, String::new())];
    }
    let limits = hits.iter().filter(|h| h.strength == Strength::Limit);
    let mut limits: Vec<String> = limits.filter_map(|h| limit(site, idx, rules.get(h.rule)?, h, given)).collect();
    limits.sort_unstable();
    limits.dedup();
    if limits.len() > 1 {
        limits.retain(|l| l != AS_WRITTEN);
    }
    let limit = (!limits.is_empty()).then(|| (Strength::Limit, limits.join("; ")));
    let out: Vec<Told> = any(Strength::NotHere).into_iter().chain(limit).chain(any(Strength::AskFirst)).collect();
    if out.is_empty() { any(Strength::Watch).into_iter().collect() } else { out }
}

/// What a limit allows: its numbers, or what else is to be done.
fn limit(site: &Site<'_>, idx: Idx<Protocol>, rule: &Rule, hit: &Hit, given: Given) -> Option<String> {
    let instead = rule.instead.as_ref().and_then(|t| site.follow(Kind::Technique, t)).map(|t| format!("else {}", t.text));
    if !numbers(rule).is_empty() {
        let protocol = &site.catalog.protocols[idx];
        let dose = || {
            let of_step = || protocol.steps.get(hit.step).map(|x| &x.dose);
            if hit.home { protocol.home.get(hit.step).map(|x| &x.dose) } else { of_step() }
        };
        let told = |entry: &DoseEntry| stop::speaks_to(site, idx, rule, entry, hit);
        let kept = |entry: &DoseEntry| given == Given::Beyond && dose().is_some_and(|d| keeps_to(d, entry));
        let beyond = numbers_of(rule, |entry| told(entry) && !kept(entry));
        let said = if beyond.is_empty() { AS_WRITTEN.to_string() } else { beyond };
        if !numbers_of(rule, told).is_empty() {
            return Some(std::iter::once(said).chain(instead).collect::<Vec<_>>().join("; "));
        }
    }
    let why = text(&rule.why).map(|w| w.trim_end_matches('.').to_string());
    let words: Vec<String> = why.into_iter().chain(instead).collect();
    (!words.is_empty()).then(|| words.join("; "))
}

/// True if a dose is no more than a number of a limit; of a cover, no less.
fn keeps_to(dose: &Dose, entry: &DoseEntry) -> bool {
    let DoseValue::Amount(limit) = &entry.value else { return false };
    dose.amount(&entry.name.value).filter(|own| own.dim() == limit.dim()).is_some_and(|own| match limit.dim() {
        Dim::Layers => !exceeds(limit.base().lo, own.base().lo),
        _ => !exceeds(own.base().hi, limit.base().hi),
    })
}

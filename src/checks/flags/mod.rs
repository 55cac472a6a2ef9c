//! Red flags: asked wherever they are needed, with one urgency, one clock and one destination.

use super::{Case, Check};
use crate::compute::flags::{Uncovered, Why};
use crate::finding::Finding;
use crate::model::docs::{Flag, Places};
use crate::model::region::{Place, parse_places, regions};
use crate::model::{DocRef, Kind, Wording};
use crate::source::Span;
use std::collections::BTreeMap;

mod destination_missing;
mod emergency_number_foreign;
mod flag_allows_treatment;
mod flag_guidance_old;
mod flag_missing_for_referral_zone;
mod flag_missing_for_region;
mod flag_single_sign;
mod flag_unsourced;
mod flag_urgency_conflict;
mod flag_words_technical;
mod safety_net_missing;
mod urgency_without_clock;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[
    &destination_missing::CHECK,
    &emergency_number_foreign::CHECK,
    &flag_allows_treatment::CHECK,
    &flag_guidance_old::CHECK,
    &flag_missing_for_referral_zone::CHECK,
    &flag_missing_for_region::CHECK,
    &flag_single_sign::CHECK,
    &flag_unsourced::CHECK,
    &flag_urgency_conflict::CHECK,
    &flag_words_technical::CHECK,
    &safety_net_missing::CHECK,
    &urgency_without_clock::CHECK,
];

/// Where a place is written in a list of regions; a group stands for its members.
fn written_at(places: &Places, place: Place) -> Option<Span> {
    let found = places.written.iter().find(|w| parse_places(&w.value).is_ok_and(|all| all.contains(&place)));
    found.map(|w| w.span)
}

/// Topics that nothing covers, each with its places in order.
fn by_topic(uncovered: &[Uncovered]) -> BTreeMap<&str, Vec<&Uncovered>> {
    let mut topics: BTreeMap<&str, Vec<&Uncovered>> = BTreeMap::new();
    for gap in uncovered {
        topics.entry(&gap.topic).or_default().push(gap);
    }
    topics
}

/// True if the place is one that a step treats.
fn is_treated(gap: &Uncovered) -> bool {
    matches!(gap.reason.why, Why::Treated(_) | Why::AtHome(_))
}

/// Ids of the regions, each once, in order of the list.
fn region_ids(gaps: &[&Uncovered]) -> Vec<&'static str> {
    let mut all: Vec<_> = gaps.iter().map(|g| g.reason.place.region).collect();
    all.sort_unstable();
    all.dedup();
    all.into_iter().map(|r| regions().get(r).id.as_str()).collect()
}

/// Says which other regions are open, and what to write: an existing flag is widened before a new one
/// is made.
fn say_what_to_write(case: &Case<'_>, topic: &str, gaps: &[&Uncovered], finding: &mut Finding) {
    let ids = region_ids(gaps).join(", ");
    if ids.contains(',') {
        finding.note(format!("Regions that call for it and are not covered: {ids}."));
    }
    let covering = case.catalog.flags.rows().iter().find(|f| f.covers.iter().any(|c| *c.value == *topic));
    match covering {
        Some(flag) => {
            let at = flag.regions.written.first().map_or(flag.name.span, |w| w.span);
            finding.also(at, format!("`{}` covers it, but not there", flag.name.value));
            finding.help(format!("add {ids} to the `regions` of flags/{}.yaml", flag.head.id.value));
        }
        None => {
            finding.help(format!("write a flag with `covers: [{topic}]` and `regions: [{ids}]`"));
        }
    }
}

/// Texts of flags under one of these keys.
fn flag_texts<'a>(case: &'a Case<'_>, keys: &'a [&str]) -> impl Iterator<Item = (&'a Flag, &'a Wording)> {
    let texts = case.catalog.wordings.iter().filter(|w| w.doc.kind == Kind::Flag && keys.contains(&&*w.key));
    texts.filter_map(|w| flag_of(case, w.doc).map(|f| (f, w)))
}

fn flag_of<'a>(case: &'a Case<'_>, doc: DocRef) -> Option<&'a Flag> {
    case.catalog.flags.rows().get(doc.row as usize)
}

/// Byte ranges at which `phrase` stands as whole words, whatever the case. `text` is in lower case.
fn whole_words<'a>(text: &'a str, phrase: &'a str) -> impl Iterator<Item = std::ops::Range<usize>> + 'a {
    let part_of_word = |c: char| c.is_alphanumeric();
    text.match_indices(phrase).map(|(i, p)| i..i + p.len()).filter(move |r| {
        !text[..r.start].chars().next_back().is_some_and(part_of_word) && !text[r.end..].chars().next().is_some_and(part_of_word)
    })
}

//! A claim: what it says, how sure it is, and what carries it.

use super::parts::{ClaimView, Link};
use crate::compute::appraisal::claims::{self, Support};
use crate::model::Kind;
use crate::model::docs::{Claim, ClaimedEffect};
use crate::plan::route;
use crate::plan::site::{Site, doc};

/// Shows a claim.
pub fn view(site: &Site<'_>, claim: &Claim) -> ClaimView {
    let support = claim.effect.as_ref().and_then(|e| claims::support(site.catalog, e));
    ClaimView {
        text: claim.text.value.to_string(),
        certainty: claims::certainty(site.catalog, claim).map(|c| c.word().to_string()),
        wording: site.to(route::WORDING),
        carried_by: support.as_ref().map(|s| carried_by(site, s)),
        setting: claim.effect.as_ref().map(|e| setting(site, e)).unwrap_or_default(),
        invented: support.is_some_and(|s| invented(site, &s)),
        ground: site.ground(&claim.ground),
    }
}

fn carried_by(site: &Site<'_>, support: &Support<'_>) -> Link {
    match support {
        Support::Question { question, row } => {
            let page = doc(Kind::Question, *question);
            let at = site.catalog.questions[*question].outcomes.get(*row).map(|a| super::question::anchor(site, a)).unwrap_or_default();
            Link { text: site.name(page), href: format!("{}#{at}", site.href(page)) }
        }
        Support::Result { source, result } => {
            let page = doc(Kind::Source, *source);
            Link { text: format!("one result of {}", site.name(page)), href: format!("{}#result-{}", site.href(page), result.id.value) }
        }
    }
}

fn invented(site: &Site<'_>, support: &Support<'_>) -> bool {
    match support {
        Support::Question { question, row } => {
            let facts = site.facts.appraisal.of(*question).outcomes.get(*row);
            facts.is_some_and(|f| f.studies.iter().any(|s| site.catalog.sources[s.source].is_invented()))
        }
        Support::Result { source, .. } => site.catalog.sources[*source].is_invented(),
    }
}

/// Compared with what and in whom, as the claim says.
fn setting(site: &Site<'_>, effect: &ClaimedEffect) -> Vec<String> {
    let who = effect.who.as_ref().and_then(|w| w.to).map(|w| format!("in {}", site.catalog.populations[w].name.value));
    let against = effect.comparator.as_ref().map(|c| format!("against {}", c.value.shown()));
    [against, who].into_iter().flatten().collect()
}

/// The claims of a card in one line: how many there are of which certainty.
pub fn on_card(site: &Site<'_>, claims: &[Claim]) -> String {
    let views: Vec<ClaimView> = claims.iter().map(|c| view(site, c)).collect();
    let mut counts: Vec<(String, usize)> = Vec::new();
    for certainty in views.iter().filter_map(|v| v.certainty.clone()) {
        match counts.iter_mut().find(|(known, _)| *known == certainty) {
            Some((_, n)) => *n += 1,
            None => counts.push((certainty, 1)),
        }
    }
    let of_each: Vec<String> = counts.iter().map(|(word, n)| format!("{n} of {word} certainty")).collect();
    let rest = views.len() - counts.iter().map(|(_, n)| n).sum::<usize>();
    let rest = (rest > 0).then(|| format!("{rest} about no effect"));
    let invented = views.iter().filter(|v| v.invented).count();
    let invented = if invented > 0 { format!(" {invented} of them on results invented for the demonstration.") } else { String::new() };
    let parts: Vec<String> = of_each.into_iter().chain(rest).collect();
    match views.len() {
        0 => String::new(),
        n => format!("{n} statements: {}.{invented} The page gives each with its people and comparison.", parts.join(", ")),
    }
}

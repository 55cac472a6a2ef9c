//! Checks of the area "evidence": sources, results, certainty, and the claims that rest on them.

use super::{Case, Check};
use crate::compute::appraisal::claims;
use crate::compute::appraisal::overlap::{Shared, shared};
use crate::model::docs::{Claim, Question, ResultRef, Source};
use crate::model::evidence::Direction;
use crate::model::{Catalog, Idx};
use std::collections::BTreeMap;

mod certainty_arithmetic;
mod certainty_reasons_missing;
mod certainty_wording_differs;
mod citation_key_ambiguous;
mod cite_without_locator;
mod claim_comparator_hidden;
mod claim_direction_differs;
mod claim_effect_unstated;
mod claim_outcome_differs;
mod claim_population_differs;
mod conclusion_beyond_results;
mod counts_do_not_add;
mod effect_recomputed;
mod few_studies_pooled;
mod harms_not_extracted;
mod harms_not_read;
mod identifier_invalid;
mod interests_not_recorded;
mod interval_vs_p;
mod level_vs_design;
mod limit_rests_on_one_source;
mod named;
mod participants_counted_twice;
mod quote_too_long;
mod review_includes_retracted;
mod review_with_its_own_trials;
mod risk_of_bias_overall;
mod search_old;
mod secondary_citation;
mod shown;
mod source_never_used;
mod source_retracted;
mod verbs;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[
    &certainty_arithmetic::CHECK,
    &certainty_reasons_missing::CHECK,
    &certainty_wording_differs::CHECK,
    &citation_key_ambiguous::CHECK,
    &cite_without_locator::CHECK,
    &claim_comparator_hidden::CHECK,
    &claim_direction_differs::CHECK,
    &claim_effect_unstated::CHECK,
    &claim_outcome_differs::CHECK,
    &claim_population_differs::CHECK,
    &conclusion_beyond_results::CHECK,
    &counts_do_not_add::CHECK,
    &effect_recomputed::CHECK,
    &few_studies_pooled::CHECK,
    &harms_not_extracted::CHECK,
    &harms_not_read::CHECK,
    &identifier_invalid::CHECK,
    &interests_not_recorded::CHECK,
    &interval_vs_p::CHECK,
    &level_vs_design::CHECK,
    &limit_rests_on_one_source::CHECK,
    &participants_counted_twice::CHECK,
    &quote_too_long::CHECK,
    &review_includes_retracted::CHECK,
    &review_with_its_own_trials::CHECK,
    &risk_of_bias_overall::CHECK,
    &search_old::CHECK,
    &secondary_citation::CHECK,
    &source_never_used::CHECK,
    &source_retracted::CHECK,
];

/// Two results of a pool that share people.
struct Pair<'a> {
    question: &'a Question,
    first: &'a ResultRef,
    second: &'a ResultRef,
    how: Shared<'a>,
}

impl Pair<'_> {
    /// Ids of the two sources.
    fn sources<'c>(&self, catalog: &'c Catalog) -> (&'c str, &'c str) {
        let id = |r: &ResultRef| r.source.to.map_or("", |s| &*catalog.sources[s].head.id.value);
        (id(self.first), id(self.second))
    }
}

/// Pairs of results in one pool that share people in a certain way.
fn pairs<'a>(case: &'a Case<'_>, wanted: impl Fn(&Shared<'_>) -> bool) -> Vec<Pair<'a>> {
    let mut out = Vec::new();
    for (idx, question) in case.catalog.questions.iter() {
        for (asked, facts) in question.outcomes.iter().zip(&case.facts.appraisal.of(idx).outcomes) {
            // Facts hold one study for each result that leads somewhere.
            let refs: Vec<&ResultRef> = asked.results.iter().filter(|r| r.source.to.is_some() && r.row.is_some()).collect();
            let found = shared(case.catalog, facts).into_iter().filter(|(_, _, how)| wanted(how));
            out.extend(found.filter_map(|(i, j, how)| Some(Pair { question, first: refs.get(i)?, second: refs.get(j)?, how })));
        }
    }
    out
}

/// Sources that claims of benefit cite or rest on, each with the first such claim.
fn benefit_sources(catalog: &Catalog) -> BTreeMap<Idx<Source>, &Claim> {
    let mut out = BTreeMap::new();
    for (_, _, claim) in claims::all(catalog) {
        let Some(effect) = &claim.effect else { continue };
        if effect.direction.as_ref().is_none_or(|d| d.value != Direction::Better) {
            continue;
        }
        let carried = claims::support(catalog, effect).map(|s| s.sources(catalog)).unwrap_or_default();
        for source in carried.into_iter().chain(claim.ground.cites.iter().filter_map(|c| c.source.to)) {
            out.entry(source).or_insert(claim);
        }
    }
    out
}

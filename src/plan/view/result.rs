//! One result of a source, with what it comes to beside what the source prints.

use super::effect::{Digits, extracted, plain, printed, unit, with_unit, without};
use super::parts::Link;
use crate::compute::appraisal::{claims, study};
use crate::compute::evidence::Effect;
use crate::model::docs::{Data, Outcome, Source, StudyResult};
use crate::model::evidence::{EffectMeasure, Judgement};
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc, text};
use serde::Serialize;

/// A result.
#[derive(Debug, Serialize)]
pub struct ResultRow {
    /// Short name inside the source.
    pub id: String,
    /// The source, at the result.
    pub source: Link,
    /// True if the source was made up.
    pub invented: bool,
    /// Outcome.
    pub outcome: Option<Link>,
    /// Comparator, people, time.
    pub setting: Vec<String>,
    /// Numbers as taken from the source.
    pub numbers: Vec<String>,
    /// In words.
    pub words: Option<String>,
    /// Effect worked out from the numbers, or why there is none.
    pub computed: String,
    /// By which formula.
    pub variant: Option<&'static str>,
    /// Effect as printed.
    pub printed: String,
    /// What it comes to, and on whose word.
    pub direction: String,
    /// Overall judgement of bias.
    pub bias: &'static str,
    /// Where in the source.
    pub at: String,
}

/// A result as a row.
pub fn row(site: &Site<'_>, idx: Idx<Source>, result: &StudyResult) -> ResultRow {
    let source = &site.catalog.sources[idx];
    let page = doc(Kind::Source, idx);
    let who = result.who.as_ref().and_then(|w| site.follow(Kind::Population, w)).map(|l| format!("in {}", l.text));
    let rival = result.arms.get(1).and_then(|id| source.arm(&id.value)).map(|a| format!(": {}", a.name.value)).unwrap_or_default();
    let comparator = result.comparator.as_ref().map(|c| format!("against {}{rival}", c.value.shown()));
    let from_numbers = !matches!(result.data, Data::Words | Data::Estimate(_));
    let given = match &result.data {
        Data::Estimate(p) => Some(p),
        _ => result.printed.as_ref(),
    };
    let (computed, variant) = match study::own_measure(result).filter(|_| from_numbers).map(|m| (m, study::from_groups(&result.data, m))) {
        None => ("nothing to work out: the source gives no numbers of its groups".into(), None),
        Some((_, Err(why))) => (without(&why), None),
        Some((measure, Ok(effect))) => (shown(measure, &effect, result), Some(effect.variant)),
    };
    ResultRow {
        id: result.id.value.to_string(),
        source: Link { text: site.name(page), href: format!("{}#result-{}", site.href(page), result.id.value) },
        invented: source.is_invented(),
        outcome: site.follow(Kind::Outcome, &result.outcome),
        setting: [comparator, who, text(&result.time)].into_iter().flatten().collect(),
        numbers: extracted(source, result),
        words: text(&result.words),
        computed,
        variant,
        printed: given.map_or("nothing printed".into(), |p| printed(p, result)),
        direction: comes_to(site, result).unwrap_or_else(|| "not told".into()),
        bias: source.bias_of(result).map_or("not judged", |b| Judgement::word(b.overall.value)),
        at: text(&result.at).unwrap_or_else(|| "not given".into()),
    }
}

/// What a result comes to: by its interval, else by the word of the source, which is then said.
pub fn comes_to(site: &Site<'_>, result: &StudyResult) -> Option<String> {
    if let Some(told) = claims::of_result(site.catalog, result) {
        return Some(told.word().into());
    }
    let why = if matches!(result.data, Data::Words) && result.printed.is_none() { "no numbers" } else { "no interval" };
    result.found.as_ref().map(|f| format!("{}, as the source says ({why})", f.value.word()))
}

fn shown(measure: EffectMeasure, effect: &Effect, result: &StudyResult) -> String {
    let shown = crate::compute::appraisal::study::shown(result, effect);
    let unit = unit(measure, result.unit.as_ref().map(|u| &*u.value));
    let numbers = if effect.variance > 0.0 { Digits::of(measure, &[shown]).both(&shown) } else { plain(shown.value) };
    format!("{} {}", measure.word(), with_unit(&numbers, &unit))
}

/// All results about an outcome, those of made-up sources last.
pub fn rows_about(site: &Site<'_>, outcome: Idx<Outcome>) -> Vec<ResultRow> {
    let of = |(idx, source): (Idx<Source>, &'_ Source)| {
        source.results.iter().filter(|r| r.outcome.to == Some(outcome)).map(|r| row(site, idx, r)).collect::<Vec<_>>()
    };
    let (invented, read): (Vec<_>, Vec<_>) = site.catalog.sources.iter().partition(|(_, source)| source.is_invented());
    read.into_iter().chain(invented).flat_map(of).collect()
}

//! What was judged of a source and what it says of itself: level, bias, conclusions, harms, money, retraction.

use super::super::parts::{Link, Pair};
use super::super::result::comes_to;
use super::{BiasView, ConclusionView};
use crate::model::Kind;
use crate::model::docs::{Conclusion, RiskOfBias, Source, Told};
use crate::model::evidence::{Disclosure, HarmsStatus, RetractionStatus};
use crate::plan::site::{Site, doc, text, texts};

pub(super) fn level(s: &Source) -> Option<String> {
    let level = s.level.as_ref()?;
    Some(format!(
        "{} of 5 for questions of {} (OCEBM 2011: 1 is the design least open to error). It ranks the design and is no certainty of an answer.",
        level.number.value,
        level.asks.word()
    ))
}

pub(super) fn conclusions(site: &Site<'_>, s: &Source) -> Vec<ConclusionView> {
    let one = |c: &Conclusion| {
        let about = c.outcome.as_ref().and_then(|o| o.to);
        let results = s.results.iter().filter(|r| about.is_some() && r.outcome.to == about);
        let mut told: Vec<String> = results.filter_map(|r| comes_to(site, r)).collect();
        told.sort();
        told.dedup();
        ConclusionView {
            words: c.words.value.to_string(),
            outcome: c.outcome.as_ref().and_then(|o| site.follow(Kind::Outcome, o)),
            found: c.found.as_ref().map(|f| f.value.word()),
            results: told,
            at: text(&c.at),
        }
    };
    s.conclusions.iter().map(one).collect()
}

pub(super) fn bias(b: &RiskOfBias) -> BiasView {
    BiasView {
        tool: b.tool.value.to_string(),
        results: texts(&b.results),
        overall: b.overall.value.word(),
        why: text(&b.why),
        by: text(&b.by),
        domains: b.domains.iter().map(|d| [d.domain.value.to_string(), d.judgement.value.word().into(), d.why.value.to_string()]).collect(),
    }
}

/// Harms, funding and interests: the word, and what was said.
pub(super) fn told(s: &Source) -> Vec<Pair> {
    fn line<T: Copy>(label: &str, told: &Option<Told<T>>, word: impl Fn(T) -> &'static str) -> Option<Pair> {
        let told = told.as_ref()?;
        let what = told.what.as_ref().map(|w| format!(": {}", w.value)).unwrap_or_default();
        Some(Pair { label: label.into(), text: format!("{}{what}", word(told.status.value)) })
    }
    let all = [
        line("Harms", &s.harms, HarmsStatus::word),
        line("Funding", &s.funding, Disclosure::word),
        line("Interests of the authors", &s.interests, Disclosure::word),
    ];
    all.into_iter().flatten().collect()
}

pub(super) fn retraction(s: &Source) -> Option<String> {
    let status = s.retraction.as_ref()?;
    let checked = s.retraction_checked.as_ref().map(|d| format!(", looked up {}", d.value)).unwrap_or_default();
    let notice = s.retraction_notice.as_ref().map(|n| format!(". {}", n.value)).unwrap_or_default();
    Some(format!("{}{checked}{notice}", status.value.word()))
}

/// True if it was withdrawn, corrected or doubted by its journal.
pub(super) fn shaken(s: &Source) -> bool {
    use RetractionStatus as R;
    s.retraction.as_ref().is_some_and(|r| matches!(r.value, R::Corrected | R::Concern | R::Retracted))
}

/// Sources that fit.
pub(super) fn sources(site: &Site<'_>, fits: impl Fn(&Source) -> bool) -> Vec<Link> {
    let mut out: Vec<Link> = site.catalog.sources.iter().filter(|(_, s)| fits(s)).map(|(i, _)| site.link(doc(Kind::Source, i))).collect();
    out.sort();
    out
}

//! What a claim about an effect rests on, and how far that carries it.

use super::{Appraisal, asked_about, told};
use crate::compute::evidence::Estimate;
use crate::compute::measurement::belongs;
use crate::model::docs::{Claim, ClaimedEffect, Outcome, Population, Protocol, Question, RestsOn, Source, StudyResult, Technique};
use crate::model::evidence::{Certainty, Comparator, Direction};
use crate::model::{Catalog, DocRef, Idx, Kind};

/// What carries a claim about an effect.
#[derive(Clone, Debug)]
pub enum Support<'a> {
    /// An outcome of a question.
    Question {
        /// The question.
        question: Idx<Question>,
        /// Row of the outcome in it.
        row: usize,
    },
    /// One result of one source.
    Result {
        /// The source.
        source: Idx<Source>,
        /// The result.
        result: &'a StudyResult,
    },
}

/// What carries a claim; `None` if it names nothing, or a question that does not ask about its outcome.
pub fn support<'a>(catalog: &'a Catalog, effect: &ClaimedEffect) -> Option<Support<'a>> {
    match effect.rests_on.as_ref()? {
        RestsOn::Question(r) => {
            let question = r.to?;
            let (row, _) = asked_about(&catalog.questions[question], effect.outcome.to?)?;
            Some(Support::Question { question, row })
        }
        RestsOn::Result(r) => {
            let source = r.source.to?;
            Some(Support::Result { source, result: catalog.sources[source].results.get(r.row?)? })
        }
    }
}

impl Support<'_> {
    /// The outcome that it is about.
    pub fn outcome(&self, catalog: &Catalog) -> Option<Idx<Outcome>> {
        match self {
            Support::Question { question, row } => catalog.questions[*question].outcomes.get(*row)?.outcome.to,
            Support::Result { result, .. } => result.outcome.to,
        }
    }

    /// The sources that carry it.
    pub fn sources(&self, catalog: &Catalog) -> Vec<Idx<Source>> {
        match self {
            Support::Question { question, row } => {
                let asked = catalog.questions[*question].outcomes.get(*row);
                asked.map(|a| a.results.iter().filter_map(|r| r.source.to).collect()).unwrap_or_default()
            }
            Support::Result { source, .. } => vec![*source],
        }
    }

    /// In whom.
    pub fn who(&self, catalog: &Catalog) -> Option<Idx<Population>> {
        match self {
            Support::Question { question, .. } => catalog.questions[*question].who.to,
            Support::Result { source, result } => result.who.as_ref().or(catalog.sources[*source].who.as_ref())?.to,
        }
    }

    /// Compared with what.
    pub fn comparator(&self, catalog: &Catalog) -> Option<Comparator> {
        match self {
            Support::Question { question, .. } => catalog.questions[*question].comparator.as_ref().map(|c| c.value),
            Support::Result { result, .. } => result.comparator.as_ref().map(|c| c.value),
        }
    }

    /// What it came to: by its numbers, else by the word of the source.
    pub fn direction(&self, catalog: &Catalog, appraisal: &Appraisal) -> Option<Direction> {
        match self {
            Support::Question { question, row } => {
                let stated = || catalog.questions[*question].outcomes.get(*row)?.direction.as_ref().map(|d| d.value);
                appraisal.of(*question).outcomes.get(*row)?.direction.or_else(stated)
            }
            Support::Result { result, .. } => of_result(catalog, result).or(result.found.as_ref().map(|f| f.value)),
        }
    }

    /// Value and interval as shown, where there are numbers.
    pub fn shown(&self, appraisal: &Appraisal) -> Option<Estimate> {
        match self {
            Support::Question { question, row } => appraisal.of(*question).outcomes.get(*row)?.answer.shown(),
            Support::Result { result, .. } => effect_of(result).map(|e| super::study::shown(result, &e)),
        }
    }
}

/// The effect of a result in the measure that it is printed in, else in its plain form.
pub fn effect_of(result: &StudyResult) -> Option<crate::compute::evidence::Effect> {
    let measure = super::study::own_measure(result)?;
    super::study::from_groups(&result.data, measure)
        .or_else(|_| result.printed.as_ref().map_or(Err(super::study::NoEffect::Words), |p| super::study::from_printed(p, measure)))
        .ok()
}

/// What the numbers of one result come to.
pub fn of_result(catalog: &Catalog, result: &StudyResult) -> Option<Direction> {
    let better = catalog.outcomes[result.outcome.to?].better?;
    let interval = super::study::shown(result, &effect_of(result)?).interval;
    told(super::study::own_measure(result)?, [interval.low, interval.high], better, None)
}

/// The certainty behind a claim: that of its question, else the one it states.
pub fn certainty(catalog: &Catalog, claim: &Claim) -> Option<Certainty> {
    let of_question = claim.effect.as_ref().and_then(|e| match support(catalog, e)? {
        Support::Question { question, row } => catalog.questions[question].outcomes.get(row)?.certainty.result.as_ref().map(|c| c.value),
        Support::Result { .. } => None,
    });
    of_question.or_else(|| claim.certainty.as_ref().map(|c| c.value))
}

/// True if what was found in `studied` speaks for `wanted`: the same people, or wider ones.
pub fn speaks_for(catalog: &Catalog, studied: Idx<Population>, wanted: Idx<Population>) -> bool {
    belongs(catalog, wanted, studied)
}

/// Every claim with the document and the list in which it stands.
pub fn all(catalog: &Catalog) -> impl Iterator<Item = (DocRef, &'static str, &Claim)> {
    let of = |kind: Kind, row: usize| DocRef { kind, row: u32::try_from(row).unwrap_or(u32::MAX) };
    let protocols = catalog.protocols.iter().flat_map(move |(i, p): (Idx<Protocol>, &Protocol)| {
        let doc = of(Kind::Protocol, i.row());
        let why = p.rationale.iter().map(move |c| (doc, "rationale", c));
        why.chain(p.evidence.iter().map(move |c| (doc, "evidence", c)))
    });
    let techniques = catalog.techniques.iter().flat_map(move |(i, t): (Idx<Technique>, &Technique)| {
        let doc = of(Kind::Technique, i.row());
        t.harms.iter().map(move |c| (doc, "harms", c))
    });
    protocols.chain(techniques)
}

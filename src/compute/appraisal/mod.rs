//! From typed results to answers: the effect of each study, the pool, what the numbers come to, and what
//! they propose for certainty.
//!
//! A person judges certainty; nothing here replaces that judgement. What can be counted is counted and
//! stands beside it, with the thresholds that were used. Formulas are in `evidence`, words in `plan`.

pub mod arithmetic;
pub mod bias;
pub mod certainty;
pub mod claims;
pub mod conclusions;
pub mod counting;
pub mod extracted;
pub mod levels;
pub mod overlap;
pub mod study;
pub mod wording;

use super::evidence::pool::small::{Egger, egger};
use super::evidence::{Effect, Estimate, IntervalMethod, Level, Pooled, Refusal, TauMethod, pool};
use crate::model::docs::{Asked, Outcome, Question, Source, StudyResult};
use crate::model::evidence::{Better, Certainty, Direction, EffectMeasure, Judgement, PooledInterval, Pooling};
use crate::model::{Catalog, DocRef, Idx, Kind};
use certainty::Proposal;
use rayon::prelude::*;
use std::collections::BTreeMap;
use study::{NoEffect, People};

/// Fewest studies for a test of small studies: with fewer it tells nothing (Cochrane Handbook, chapter 13,
/// from memory).
pub const EGGER_LEAST: usize = 10;

/// What follows from all questions.
#[derive(Debug, Default)]
pub struct Appraisal {
    /// One for each question, by row.
    pub questions: Vec<QuestionFacts>,
}

impl Appraisal {
    /// Facts of a question.
    pub fn of(&self, question: Idx<Question>) -> &QuestionFacts {
        &self.questions[question.row()]
    }
}

/// What follows from one question.
#[derive(Debug)]
pub struct QuestionFacts {
    /// One for each outcome, as written.
    pub outcomes: Vec<OutcomeFacts>,
}

/// What follows for one outcome of a question.
#[derive(Debug)]
pub struct OutcomeFacts {
    /// One for each result, as written; results that lead nowhere are left out.
    pub studies: Vec<StudyFacts>,
    /// The answer in numbers.
    pub answer: Answer,
    /// People behind the answer.
    pub people: Counted,
    /// What the numbers come to; `None` without numbers or without a value of no effect.
    pub direction: Option<Direction>,
    /// The pool without each study in turn, in the order of those with an effect; empty below three.
    pub without: Vec<Pooled>,
    /// Test of small studies; only from ten studies on.
    pub small: Option<Egger>,
    /// What the numbers propose for certainty.
    pub proposals: Vec<Proposal>,
    /// Where these proposals lead from the stated start.
    pub proposed: Option<Certainty>,
}

/// One result in a question.
#[derive(Debug)]
pub struct StudyFacts {
    /// The source.
    pub source: Idx<Source>,
    /// Row of the result in the source.
    pub row: usize,
    /// Its effect.
    pub effect: Result<Effect, NoEffect>,
    /// Its weight in the pool, percent.
    pub weight: Option<f64>,
    /// Overall judgement of bias.
    pub bias: Option<Judgement>,
    /// People in it.
    pub people: Option<People>,
    /// Events in it, for counts.
    pub events: Option<f64>,
}

impl StudyFacts {
    /// The result itself.
    pub fn result<'a>(&self, catalog: &'a Catalog) -> &'a StudyResult {
        &catalog.sources[self.source].results[self.row]
    }

    /// Its effect with the 95 % interval as shown.
    pub fn shown(&self, catalog: &Catalog) -> Option<Estimate> {
        self.effect.as_ref().ok().map(|e| study::shown(self.result(catalog), e))
    }
}

/// The answer in numbers.
#[derive(Debug)]
pub enum Answer {
    /// No result has a usable effect.
    None,
    /// One effect alone, and as shown.
    One(Effect, Estimate),
    /// Several, which the question does not pool.
    Apart,
    /// Pooled.
    Pooled(Box<Pooled>),
    /// Several that cannot be pooled.
    Refused(Refusal),
}

impl Answer {
    /// Value and 95 % interval as shown.
    pub fn shown(&self) -> Option<Estimate> {
        match self {
            Answer::One(_, shown) => Some(*shown),
            Answer::Pooled(pooled) => Some(pooled.shown()),
            _ => None,
        }
    }
}

/// Computes all questions.
pub fn compute(catalog: &Catalog) -> Appraisal {
    let one = |q: &Question| QuestionFacts { outcomes: q.outcomes.iter().map(|a| outcome(catalog, q, a)).collect() };
    Appraisal { questions: catalog.questions.rows().par_iter().map(one).collect() }
}

fn outcome(catalog: &Catalog, question: &Question, asked: &Asked) -> OutcomeFacts {
    let mut studies = studies(catalog, asked);
    let effects: Vec<Effect> = studies.iter().filter_map(|s| s.effect.as_ref().ok().copied()).collect();
    let methods = asked.pooling.as_ref().map(|p| (tau(p.value), interval(asked.interval.as_ref().map(|i| i.value))));
    let answer = match (effects.as_slice(), methods) {
        ([], _) => Answer::None,
        ([one], _) => Answer::One(*one, studies.iter().find_map(|s| s.shown(catalog)).unwrap_or_else(|| one.shown(Level::P95))),
        (_, None) => Answer::Apart,
        (all, Some((t, by))) => pool(all, t, by).map_or_else(Answer::Refused, |p| Answer::Pooled(Box::new(p))),
    };
    weigh(&mut studies, &answer);
    let without = match (&answer, methods) {
        (Answer::Pooled(_), Some((t, by))) => super::evidence::pool::leave_one_out(&effects, t, by).unwrap_or_default(),
        _ => Vec::new(),
    };
    let small = (effects.len() >= EGGER_LEAST).then(|| egger(&effects).ok()).flatten();
    let better = asked.outcome.to.and_then(|o| catalog.outcomes[o].better);
    let mut facts = OutcomeFacts {
        people: counted(&studies),
        direction: direction(asked, &answer, better),
        studies,
        answer,
        without,
        small,
        proposals: Vec::new(),
        proposed: None,
    };
    facts.proposals = certainty::proposals(catalog, question, asked, &facts);
    let down: i32 = facts.proposals.iter().map(|p| i32::from(p.steps)).sum();
    facts.proposed = asked.certainty.start.as_ref().map(|s| s.value.moved(-down));
    facts
}

fn studies(catalog: &Catalog, asked: &Asked) -> Vec<StudyFacts> {
    let Some(measure) = asked.measure.as_ref().map(|m| m.value) else { return Vec::new() };
    let linked = asked.results.iter().filter_map(|r| Some((r.source.to?, r.row?)));
    let unit = linked.clone().find_map(|(s, row)| catalog.sources[s].results.get(row)?.unit.as_ref().map(|u| u.value.clone()));
    linked
        .filter_map(|(idx, row)| {
            let source = &catalog.sources[idx];
            let result = source.results.get(row)?;
            Some(StudyFacts {
                source: idx,
                row,
                effect: study::effect(result, measure, unit.as_deref()),
                weight: None,
                bias: source.bias_of(result).map(|b| b.overall.value),
                people: study::people(source, result),
                events: study::events(result),
            })
        })
        .collect()
}

/// People in some results.
#[derive(Copy, Clone, Debug, Default, PartialEq)]
pub struct Counted {
    /// Those whom results count themselves, and all people of a study whose results do not.
    pub number: f64,
    /// True if a whole study stands in for what its results do not say, so that the number may be too large.
    pub whole_studies: bool,
}

/// People in the results with an effect, or in all where none has one. A study that is known as a whole alone counts
/// once, however many of its results stand here, and not beside results that count for themselves.
fn counted(studies: &[StudyFacts]) -> Counted {
    let any = studies.iter().any(|s| s.effect.is_ok());
    let mut by_source: BTreeMap<Idx<Source>, Counted> = BTreeMap::new();
    for study in studies.iter().filter(|s| s.effect.is_ok() || !any) {
        let Some(people) = study.people else { continue };
        let entry = by_source.entry(study.source).or_default();
        match people {
            People::InResult(n) if entry.whole_studies => *entry = Counted { number: n, whole_studies: false },
            People::InResult(n) => entry.number += n,
            People::InStudy(n) if entry.number == 0.0 => *entry = Counted { number: n, whole_studies: true },
            People::InStudy(_) => {}
        }
    }
    let all = by_source.values();
    Counted { number: all.clone().map(|c| c.number).sum(), whole_studies: all.clone().any(|c| c.whole_studies) }
}

fn weigh(studies: &mut [StudyFacts], answer: &Answer) {
    let weights: &[f64] = match answer {
        Answer::Pooled(p) => &p.weights,
        Answer::One(..) => &[100.0],
        _ => &[],
    };
    let usable = studies.iter_mut().filter(|s| s.effect.is_ok());
    usable.zip(weights).for_each(|(study, weight)| study.weight = Some(*weight));
}

/// The estimator that a question names.
pub fn tau(pooling: Pooling) -> TauMethod {
    match pooling {
        Pooling::Fixed => TauMethod::Fixed,
        Pooling::DerSimonianLaird => TauMethod::DerSimonianLaird,
        Pooling::PauleMandel => TauMethod::PauleMandel,
        Pooling::Reml => TauMethod::Reml,
    }
}

fn interval(interval: Option<PooledInterval>) -> IntervalMethod {
    match interval {
        Some(PooledInterval::KnappHartung) => IntervalMethod::KnappHartung,
        Some(PooledInterval::Wald) | None => IntervalMethod::Wald,
    }
}

fn direction(asked: &Asked, answer: &Answer, better: Option<Better>) -> Option<Direction> {
    let (measure, shown) = (asked.measure.as_ref()?.value, answer.shown()?);
    told(measure, [shown.interval.low, shown.interval.high], better?, asked.matters.as_ref().map(|m| m.value))
}

/// What an interval comes to: better or worse if it leaves out no effect; no difference if it holds it and
/// nothing that matters; otherwise it cannot be told. `matters` is a distance, for a ratio a factor.
pub fn told(measure: EffectMeasure, interval: [f64; 2], better: Better, matters: Option<f64>) -> Option<Direction> {
    let null = measure.null()?;
    let [low, high] = interval;
    let rises = |up: bool| if up == (better == Better::Higher) { Direction::Better } else { Direction::Worse };
    if low > null || high < null {
        return Some(rises(low > null));
    }
    let small = matters.is_some_and(|m| {
        let [least, most] = bounds(measure, m);
        low > least && high < most
    });
    Some(if small { Direction::NoDifference } else { Direction::Unclear })
}

/// The two values at the smallest distance from no effect that matters.
pub fn bounds(measure: EffectMeasure, matters: f64) -> [f64; 2] {
    if measure.is_ratio() {
        let factor = if matters < 1.0 { 1.0 / matters } else { matters };
        [1.0 / factor, factor]
    } else {
        [-matters, matters]
    }
}

/// True if a question rests on nothing but sources that were made up.
pub fn invented(catalog: &Catalog, question: &Question) -> bool {
    let mut sources = question.outcomes.iter().flat_map(|a| &a.results).filter_map(|r| r.source.to).peekable();
    sources.peek().is_some() && sources.all(|s| catalog.sources[s].is_invented())
}

/// True for a source that was made up and for a question that rests on such sources alone.
pub fn is_invented(catalog: &Catalog, doc: DocRef) -> bool {
    let row = doc.row as usize;
    match doc.kind {
        Kind::Source => catalog.sources.rows().get(row).is_some_and(Source::is_invented),
        Kind::Question => catalog.questions.rows().get(row).is_some_and(|q| invented(catalog, q)),
        _ => false,
    }
}

/// The outcome of a question that is about `outcome`, with its place.
pub fn asked_about(question: &Question, outcome: Idx<Outcome>) -> Option<(usize, &Asked)> {
    question.outcomes.iter().enumerate().find(|(_, a)| a.outcome.to == Some(outcome))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_interval_is_told_against_no_effect_and_against_what_matters() {
        use Direction as D;
        use EffectMeasure as M;
        let cases = [
            (M::MeanDifference, [0.1, 0.7], Better::Higher, None, Some(D::Better)),
            (M::MeanDifference, [0.1, 0.7], Better::Lower, None, Some(D::Worse)),
            (M::MeanDifference, [-0.53, 0.09], Better::Lower, None, Some(D::Unclear)),
            (M::MeanDifference, [-0.1, 0.1], Better::Lower, Some(0.2), Some(D::NoDifference)),
            (M::MeanDifference, [-0.2, 0.1], Better::Lower, Some(0.2), Some(D::Unclear)),
            (M::RiskRatio, [0.5, 0.9], Better::Lower, None, Some(D::Better)),
            (M::RiskRatio, [0.9, 1.1], Better::Lower, Some(1.25), Some(D::NoDifference)),
            (M::RiskRatio, [0.7, 1.1], Better::Lower, Some(0.8), Some(D::Unclear)),
            (M::Proportion, [0.1, 0.2], Better::Lower, None, None),
        ];
        for (measure, interval, better, matters, expected) in cases {
            assert_eq!(told(measure, interval, better, matters), expected, "{measure:?} {interval:?} {better:?}");
        }
    }

    #[test]
    fn the_fixture_question_is_pooled_and_its_numbers_propose() {
        let catalog = crate::compute::testing::base();
        let facts = &compute(&catalog).questions[0].outcomes[0];
        let Answer::Pooled(pooled) = &facts.answer else { panic!("{:?}", facts.answer) };
        // By hand: variances 2 * 0.48^2 / 20 = 0.02304 and 2 * 0.6^2 / 30 = 0.024, both differences 0.4.
        let by_hand = 1.0 / (1.0 / 0.02304 + 1.0 / 0.024);
        assert!((pooled.estimate - 0.4).abs() < 1e-12 && (pooled.se - f64::sqrt(by_hand)).abs() < 1e-12);
        assert_eq!(facts.direction, Some(Direction::Better));
        assert_eq!(facts.people, Counted { number: 100.0, whole_studies: false });
        assert_eq!(facts.proposed, Some(Certainty::Low), "{:?}", facts.proposals);
    }

    #[test]
    fn a_study_known_as_a_whole_alone_counts_once_and_says_so() {
        let study = |source: usize, people: People| StudyFacts {
            source: Idx::new(source),
            row: 0,
            effect: Err(NoEffect::Words),
            weight: None,
            bias: None,
            people: Some(people),
            events: None,
        };
        let (own, whole) = (|n| People::InResult(n), |n| People::InStudy(n));
        let mixed = counted(&[study(0, whole(90.0)), study(0, whole(90.0)), study(1, own(20.0)), study(1, own(30.0))]);
        assert_eq!(mixed, Counted { number: 140.0, whole_studies: true });
        let known = Counted { number: 40.0, whole_studies: false };
        assert_eq!(counted(&[study(0, whole(90.0)), study(0, own(40.0))]), known);
        assert_eq!(counted(&[study(0, own(40.0)), study(0, whole(90.0))]), known);
    }
}

//! What the numbers propose for certainty, by fixed thresholds that the page prints.
//!
//! The domains are those of GRADE (Guyatt 2008, BMJ 336:924-926). GRADE leaves the size of a step to
//! judgement; the thresholds here are house practice of the tool, except where a constant names another
//! ground. Indirectness is proposed from the populations and comparators alone; of publication bias only the
//! test of small studies is computed.

use super::{Answer, OutcomeFacts, StudyFacts, bounds};
use crate::model::Catalog;
use crate::model::docs::{Asked, Question};
use crate::model::evidence::{Comparator, Design, Domain, Judgement};

/// Share of the weight, percent, from which flaws count. House practice of the tool.
pub const FLAWED_SHARE: f64 = 50.0;
/// I2, percent, from which studies disagree by one step and by two. House practice of the tool; the bands of
/// the Cochrane Handbook, chapter 10, overlap there (from memory).
pub const I2_STEPS: [f64; 2] = [50.0, 75.0];
/// People below which a mean is imprecise whatever its interval (GRADE guidelines 6, Guyatt 2011, J Clin
/// Epidemiol 64:1283-1293, rule of thumb; from memory).
pub const PEOPLE_LEAST: f64 = 400.0;
/// Events below which counts are imprecise (the same, from memory).
pub const EVENTS_LEAST: f64 = 300.0;
/// p below which small studies differ from large ones (Egger 1997, BMJ 315:629, from memory).
pub const EGGER_P: f64 = 0.1;

/// A proposal for one domain; zero steps if the numbers give no reason.
#[derive(Clone, Debug, PartialEq)]
pub struct Proposal {
    /// Domain.
    pub domain: Domain,
    /// Steps down.
    pub steps: u8,
    /// Why.
    pub because: Vec<Because>,
}

/// A reason in numbers.
#[derive(Clone, Debug, PartialEq)]
pub enum Because {
    /// Shares of the weight by judgement of bias, percent.
    Bias {
        /// High risk.
        high: f64,
        /// Some concerns.
        concerns: f64,
        /// Not judged.
        unjudged: f64,
    },
    /// How unlike the studies are, percent.
    I2(f64),
    /// One study: it cannot disagree with itself.
    OneStudy,
    /// Several results that are not pooled: nothing says how unlike they are.
    NotPooled,
    /// The prediction interval holds no effect, the interval of the mean does not.
    Prediction([f64; 2]),
    /// The interval holds no effect and one that matters.
    HoldsBoth,
    /// The interval holds an effect that matters on both sides.
    HoldsEither,
    /// Nobody has said which effect matters.
    NothingMatters,
    /// Too few people.
    FewPeople(f64),
    /// Enough people in the whole studies; how many of them the results are about is not given.
    WholeStudies(f64),
    /// Too few events.
    FewEvents(f64),
    /// Enough of both, and an interval on one side.
    Precise,
    /// Share of the weight from people outside those asked about, percent.
    OtherPeople(f64),
    /// Share of the weight against another comparator, percent.
    OtherComparator(f64),
    /// p of the test of small studies.
    SmallStudies(f64),
    /// Too few studies for that test.
    FewStudies(usize),
}

/// How the studies of an answer were made, as far as certainty asks.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Made {
    /// All are randomised trials.
    Randomised,
    /// One at least is not.
    Otherwise,
    /// It cannot be told: a design is missing, or it is a review.
    Unknown,
}

/// How the studies behind an outcome of a question were made. A review does not tell: it may hold trials of any kind.
pub fn made(catalog: &Catalog, asked: &Asked) -> Made {
    let sources: Vec<_> = asked.results.iter().filter_map(|r| r.source.to).collect();
    let of = |design: Option<Design>| match design {
        Some(Design::RandomisedTrial) => Made::Randomised,
        Some(Design::SystematicReview) | None => Made::Unknown,
        Some(_) => Made::Otherwise,
    };
    let all: Vec<Made> = sources.iter().map(|s| of(catalog.sources[*s].design.as_ref().map(|d| d.value))).collect();
    if all.contains(&Made::Otherwise) {
        Made::Otherwise
    } else if !all.is_empty() && all.iter().all(|m| *m == Made::Randomised) {
        Made::Randomised
    } else {
        Made::Unknown
    }
}

/// Proposals for the five domains that lower certainty, in their order.
pub fn proposals(catalog: &Catalog, question: &Question, asked: &Asked, facts: &OutcomeFacts) -> Vec<Proposal> {
    if facts.studies.iter().all(|s| s.effect.is_err()) {
        return Vec::new();
    }
    vec![
        bias(&facts.studies),
        inconsistency(catalog, asked, facts),
        indirectness(catalog, question, facts),
        imprecision(asked, facts),
        publication(facts),
    ]
}

/// Share of the weight of the studies that fit, percent; by number of studies where nothing is pooled.
fn share(studies: &[StudyFacts], fits: impl Fn(&StudyFacts) -> bool) -> f64 {
    let usable: Vec<&StudyFacts> = studies.iter().filter(|s| s.effect.is_ok()).collect();
    let weight = |s: &StudyFacts| s.weight.unwrap_or(1.0);
    let all: f64 = usable.iter().map(|s| weight(s)).sum();
    if all > 0.0 { 100.0 * usable.iter().filter(|s| fits(s)).map(|s| weight(s)).sum::<f64>() / all } else { 0.0 }
}

fn bias(studies: &[StudyFacts]) -> Proposal {
    let high = share(studies, |s| s.bias == Some(Judgement::High));
    let concerns = share(studies, |s| s.bias == Some(Judgement::SomeConcerns));
    let unjudged = share(studies, |s| s.bias.is_none());
    // What nobody judged is not taken for sound.
    let steps = if high >= FLAWED_SHARE { 2 } else { u8::from(high + concerns + unjudged >= FLAWED_SHARE) };
    Proposal { domain: Domain::RiskOfBias, steps, because: vec![Because::Bias { high, concerns, unjudged }] }
}

fn inconsistency(catalog: &Catalog, asked: &Asked, facts: &OutcomeFacts) -> Proposal {
    let by_i2 = |i2: f64| I2_STEPS.iter().filter(|least| i2 >= **least).count();
    let (mut steps, mut because) = (0, Vec::new());
    match &facts.answer {
        Answer::Pooled(pooled) => {
            steps = by_i2(pooled.heterogeneity.i2_from_q);
            because.push(Because::I2(pooled.heterogeneity.i2_from_q));
            let null = asked.measure.as_ref().and_then(|m| m.value.null());
            let predicted = pooled.prediction.map(|(_, i)| i.map(|x| pooled.scale.show(x)));
            if let (Some(null), Some(predicted)) = (null, predicted)
                && predicted.holds(null)
                && !pooled.shown().interval.holds(null)
            {
                steps = steps.max(1);
                because.push(Because::Prediction([predicted.low, predicted.high]));
            }
        }
        Answer::Apart | Answer::Refused(_) => because.push(Because::NotPooled),
        Answer::None | Answer::One(..) => match facts.studies.iter().find_map(|s| printed_i2(catalog, s)) {
            Some(i2) => {
                steps = by_i2(i2);
                because.push(Because::I2(i2));
            }
            None => because.push(Because::OneStudy),
        },
    }
    Proposal { domain: Domain::Inconsistency, steps: u8::try_from(steps).unwrap_or(2), because }
}

fn printed_i2(catalog: &Catalog, study: &StudyFacts) -> Option<f64> {
    match &study.result(catalog).data {
        crate::model::docs::Data::Estimate(p) => p.i2.as_ref().map(|i| i.value),
        _ => None,
    }
}

fn indirectness(catalog: &Catalog, question: &Question, facts: &OutcomeFacts) -> Proposal {
    let studied = |s: &StudyFacts| s.result(catalog).who.as_ref().or(catalog.sources[s.source].who.as_ref()).and_then(|w| w.to);
    let others = share(&facts.studies, |s| {
        question.who.to.zip(studied(s)).is_some_and(|(wanted, who)| !super::claims::speaks_for(catalog, who, wanted))
    });
    let wanted = question.comparator.as_ref().map(|c| c.value);
    let against = share(&facts.studies, |s| {
        let theirs = s.result(catalog).comparator.as_ref().map(|c| c.value);
        wanted.zip(theirs).is_some_and(|(w, t)| w != t && w != Comparator::Mixed)
    });
    let steps = u8::from(others >= FLAWED_SHARE) + u8::from(against >= FLAWED_SHARE);
    Proposal { domain: Domain::Indirectness, steps, because: vec![Because::OtherPeople(others), Because::OtherComparator(against)] }
}

fn imprecision(asked: &Asked, facts: &OutcomeFacts) -> Proposal {
    let mut because = Vec::new();
    let mut steps = 0;
    if let (Some(measure), Some(shown)) = (asked.measure.as_ref().map(|m| m.value), facts.answer.shown()) {
        let [low, high] = [shown.interval.low, shown.interval.high];
        match (measure.null(), &asked.matters) {
            (Some(null), Some(matters)) => {
                let [least, most] = bounds(measure, matters.value);
                if low <= least && high >= most {
                    (steps, because) = (2, vec![Because::HoldsEither]);
                } else if low <= null && high >= null && (low <= least || high >= most) {
                    (steps, because) = (1, vec![Because::HoldsBoth]);
                }
            }
            (Some(_), None) => because.push(Because::NothingMatters),
            (None, _) => {}
        }
    }
    let counted: Vec<f64> = facts.studies.iter().filter(|s| s.effect.is_ok()).filter_map(|s| s.events).collect();
    let events: f64 = counted.iter().sum();
    if !counted.is_empty() && events < EVENTS_LEAST {
        steps = steps.max(1);
        because.push(Because::FewEvents(events));
    } else if counted.is_empty() && facts.people.number < PEOPLE_LEAST {
        steps = steps.max(1);
        because.push(Because::FewPeople(facts.people.number));
    } else if counted.is_empty() && facts.people.whole_studies {
        steps = steps.max(1);
        because.push(Because::WholeStudies(facts.people.number));
    }
    if because.is_empty() {
        because.push(Because::Precise);
    }
    Proposal { domain: Domain::Imprecision, steps, because }
}

fn publication(facts: &OutcomeFacts) -> Proposal {
    let (steps, because) = match &facts.small {
        Some(test) => (u8::from(test.p.is_some_and(|p| p < EGGER_P)), test.p.map(Because::SmallStudies)),
        None => (0, Some(Because::FewStudies(facts.studies.iter().filter(|s| s.effect.is_ok()).count()))),
    };
    Proposal { domain: Domain::PublicationBias, steps, because: because.into_iter().collect() }
}

//! Certainty of one outcome: what the numbers propose beside what a person judged, domain by domain.

use super::super::effect::plain;
use super::super::parts::Pair;
use crate::compute::appraisal::EGGER_LEAST;
use crate::compute::appraisal::OutcomeFacts;
use crate::compute::appraisal::certainty::{Because, EGGER_P, EVENTS_LEAST, FLAWED_SHARE, I2_STEPS, PEOPLE_LEAST, Proposal};
use crate::model::docs::{Asked, Rating};
use crate::model::evidence::Domain;
use crate::plan::words::capital;
use serde::Serialize;

/// The table and what it leads to.
#[derive(Debug, Serialize)]
pub struct CertaintyView {
    /// One row for each domain.
    pub rows: Vec<Row>,
    /// Start, steps and result.
    pub sum: Vec<Pair>,
    /// Where numbers and person differ, in sentences.
    pub differences: Vec<String>,
}

/// A domain.
#[derive(Debug, Serialize)]
pub struct Row {
    /// Domain.
    pub domain: String,
    /// Steps that the numbers propose.
    pub proposed: String,
    /// The numbers and thresholds.
    pub numbers: Vec<String>,
    /// Steps that the person took.
    pub judged: String,
    /// Why.
    pub why: Vec<String>,
}

pub(super) fn view(asked: &Asked, facts: &OutcomeFacts) -> CertaintyView {
    let rating = &asked.certainty;
    let raised = Domain::ALL.iter().filter(|d| !d.lowers() && rating.steps.iter().any(|s| s.domain.value == **d));
    let domains = Domain::ALL.iter().filter(|d| d.lowers()).chain(raised);
    let proposal = |d: Domain| facts.proposals.iter().find(|p| p.domain == d);
    CertaintyView {
        rows: domains.map(|d| row(*d, rating, proposal(*d))).collect(),
        sum: sum(rating, facts),
        differences: facts.proposals.iter().filter_map(|p| difference(rating, p)).collect(),
    }
}

fn steps(domain: Domain, n: u8) -> String {
    match (n, domain.lowers()) {
        (0, _) => "no step".into(),
        (1, true) => "1 step down".into(),
        (1, false) => "1 step up".into(),
        (n, true) => format!("{n} steps down"),
        (n, false) => format!("{n} steps up"),
    }
}

fn row(domain: Domain, rating: &Rating, proposal: Option<&Proposal>) -> Row {
    let own = || rating.steps.iter().filter(|s| s.domain.value == domain);
    let judged = if own().next().is_some() { steps(domain, rating.steps_for(domain)) } else { "no step recorded".into() };
    Row {
        domain: capital(domain.word()),
        proposed: proposal.map_or("nothing".into(), |p| steps(domain, p.steps)),
        numbers: proposal.map(|p| p.because.iter().map(because).collect()).unwrap_or_default(),
        judged,
        why: own().filter_map(|s| s.why.as_ref()).map(|w| w.value.to_string()).collect(),
    }
}

fn difference(rating: &Rating, p: &Proposal) -> Option<String> {
    let judged = rating.steps_for(p.domain);
    (judged != p.steps).then(|| {
        format!(
            "{}: the numbers propose {}, the person judged {}.",
            capital(p.domain.word()),
            steps(p.domain, p.steps),
            steps(p.domain, judged)
        )
    })
}

fn sum(rating: &Rating, facts: &OutcomeFacts) -> Vec<Pair> {
    let total = |lowers: bool| rating.steps.iter().filter(|s| s.domain.value.lowers() == lowers).map(|s| u32::from(s.steps)).sum::<u32>();
    let word = |c: Option<crate::model::evidence::Certainty>| c.map_or("not judged".to_string(), |c| c.word().to_string());
    let rows = [
        ("Start", word(rating.start.as_ref().map(|c| c.value))),
        ("Steps", format!("{} down, {} up", total(true), total(false))),
        ("Result, as judged", word(rating.result.as_ref().map(|c| c.value))),
        ("By the numbers alone", facts.proposed.map_or("nothing proposed".to_string(), |c| c.word().to_string())),
    ];
    rows.into_iter().map(|(label, text)| Pair { label: label.into(), text }).collect()
}

fn percent(x: f64) -> String {
    // A sum of nothing is minus 0.
    format!("{:.0} %", x + 0.0)
}

fn because(because: &Because) -> String {
    let share = percent(FLAWED_SHARE);
    let [one, two] = I2_STEPS;
    match because {
        Because::Bias { high, concerns, unjudged } => format!(
            "Share of the weight: high risk {}, some concerns {}, not judged {}. From {share} at high risk two steps; from {share} of all three together one.",
            percent(*high),
            percent(*concerns),
            percent(*unjudged)
        ),
        Because::I2(i2) => format!("I² {}. One step from {}, two from {}.", super::super::effect::percent(*i2), percent(one), percent(two)),
        Because::NotPooled => "The results are not pooled, so how unlike they are was not worked out.".into(),
        Because::OneStudy => "One result cannot disagree with another.".into(),
        Because::Prediction([low, high]) => format!(
            "The prediction interval ({low:.2} to {high:.2}) includes the value of no effect, the interval of the mean does not: one step."
        )
        .replace('-', "−"),
        Because::HoldsBoth => "The interval includes the value of no effect and an effect that matters: one step.".into(),
        Because::HoldsEither => "The interval holds effects that matter on both sides: two steps.".into(),
        Because::NothingMatters => "Nobody has said which effect matters, so the interval is not held against one.".into(),
        Because::FewPeople(n) if *n <= 0.0 => "How many people were studied is not given: one step.".into(),
        Because::WholeStudies(n) => {
            format!("{} people in the whole studies; how many of them these numbers are about is not given: one step.", plain(*n))
        }
        Because::FewPeople(n) => format!("{} people; below {PEOPLE_LEAST} one step.", plain(*n)),
        Because::FewEvents(n) => format!("{} events; below {EVENTS_LEAST} one step.", plain(*n)),
        Because::Precise => {
            format!("Enough people (from {PEOPLE_LEAST}) or events (from {EVENTS_LEAST}), and an interval that does not hold both.")
        }
        Because::OtherPeople(x) => format!("{} of the weight is from other people than asked about; from {share} one step.", percent(*x)),
        Because::OtherComparator(x) => format!("{} of the weight is against another comparator; from {share} one step.", percent(*x)),
        Because::SmallStudies(p) => format!("Test of small studies: p {p:.3}; below {EGGER_P} one step."),
        Because::FewStudies(n) => {
            format!("{n} with an effect; the test of small studies needs {EGGER_LEAST}. What was never published is not counted here.")
        }
    }
}

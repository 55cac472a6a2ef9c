//! A question: the answer with its certainty first, then what was asked, and for each outcome the results,
//! the pool and the judgement.

mod answer;
mod certainty;

use super::forest::Forest;
use super::parts::{Frame, Link, LinkGroup, Pair, Prose};
use super::sources::{SourceLine, cited_by};
use crate::compute::appraisal::{claims, invented};
use crate::model::docs::{Asked, Claim, Question};
use crate::model::{Idx, Kind};
use crate::plan::route;
use crate::plan::site::{Site, doc, text, texts};
use crate::plan::words::capital;
use certainty::CertaintyView;
use serde::Serialize;

/// View of `question.html`.
#[derive(Debug, Serialize)]
pub struct QuestionPage {
    /// Frame.
    pub frame: Frame,
    /// True if it rests on made-up sources alone.
    pub invented: bool,
    /// The answers, one for each outcome.
    pub answers: Vec<AnswerLine>,
    /// What was asked, part by part.
    pub asked: Vec<Asking>,
    /// How it was searched.
    pub search: Vec<Pair>,
    /// The page that says what the words mean.
    pub wording: String,
    /// Outcomes.
    pub outcomes: Vec<OutcomeView>,
    /// Notes.
    pub notes: Option<Prose>,
    /// Claims that rest on it.
    pub claims: Vec<ClaimLine>,
    /// Sources that it cites.
    pub sources: Vec<SourceLine>,
    /// Who refers here.
    pub used_by: Vec<LinkGroup>,
}

/// The answer for one outcome.
#[derive(Debug, Serialize)]
pub struct AnswerLine {
    /// Certainty, as the first word of the line.
    pub certainty: String,
    /// The sentence.
    pub statement: String,
    /// To the outcome on this page.
    pub outcome: Link,
}

/// A part of what was asked.
#[derive(Debug, Serialize)]
pub struct Asking {
    /// Label.
    pub label: &'static str,
    /// Text.
    pub text: String,
    /// Its page.
    pub href: Option<String>,
}

/// One outcome of the question.
#[derive(Debug, Serialize)]
pub struct OutcomeView {
    /// Anchor.
    pub id: String,
    /// Number on the page.
    pub number: usize,
    /// Name and page.
    pub outcome: Link,
    /// When, how measured, what matters, what the numbers come to.
    pub facts: Vec<Asking>,
    /// Said of invented results.
    pub invented: Option<String>,
    /// Figure.
    pub forest: Option<Forest>,
    /// Results.
    pub studies: Vec<StudyRow>,
    /// The pool in words and numbers.
    pub pool: Vec<Pair>,
    /// The row below the results: name, value.
    pub pooled: Option<Pair>,
    /// The pool without each result in turn.
    pub without: Vec<WithoutRow>,
    /// Formulas of the effects.
    pub variants: Vec<&'static str>,
    /// Certainty.
    pub certainty: CertaintyView,
}

/// A result in the table.
#[derive(Debug, Serialize)]
pub struct StudyRow {
    /// The source, at the result.
    pub source: Link,
    /// True if it was made up.
    pub invented: bool,
    /// People.
    pub people: String,
    /// Numbers as taken from the source.
    pub numbers: Vec<String>,
    /// Effect with its interval, or why there is none.
    pub effect: String,
    /// True if there is an effect.
    pub counts: bool,
    /// Weight.
    pub weight: String,
    /// Overall judgement of bias.
    pub bias: &'static str,
    /// Where in the source.
    pub at: String,
}

/// The pool without one result.
#[derive(Debug, Serialize)]
pub struct WithoutRow {
    /// The result left out.
    pub name: String,
    /// Value and interval.
    pub pooled: String,
    /// I2.
    pub i2: String,
    /// tau2.
    pub tau2: String,
}

/// A claim, once for each page on which it stands.
#[derive(Debug, PartialEq, Serialize)]
pub struct ClaimLine {
    /// Where it stands.
    pub page: Link,
    /// The claim.
    pub text: String,
}

impl QuestionPage {
    /// Shows a question.
    pub fn new(site: &Site<'_>, idx: Idx<Question>) -> QuestionPage {
        let question = &site.catalog.questions[idx];
        let own = doc(Kind::Question, idx);
        let facts = &site.facts.appraisal.of(idx).outcomes;
        let outcomes = question.outcomes.iter().zip(facts).enumerate();
        QuestionPage {
            frame: site.doc_frame(own),
            invented: invented(site.catalog, question),
            answers: question.outcomes.iter().map(|a| answer_line(site, a)).collect(),
            asked: asked(site, question),
            search: search(site, question),
            wording: site.to(route::WORDING),
            outcomes: outcomes.map(|(i, (a, f))| answer::view(site, i + 1, a, f)).collect(),
            notes: site.maybe_prose(&question.notes, 1),
            claims: claims_on(site, idx),
            sources: cited_by(site, &[own]),
            used_by: site.used_by(own),
        }
    }
}

/// Anchor of an outcome on the page of a question.
pub fn anchor(site: &Site<'_>, asked: &Asked) -> String {
    let id = asked.outcome.to.map(|o| site.catalog.id(doc(Kind::Outcome, o)));
    format!("outcome-{}", id.unwrap_or_default())
}

/// Certainty of an outcome, to begin a line with.
pub fn certainty_words(asked: &Asked) -> String {
    asked.certainty.result.as_ref().map_or("Certainty not judged".into(), |c| format!("{} certainty", capital(c.value.word())))
}

fn answer_line(site: &Site<'_>, asked: &Asked) -> AnswerLine {
    AnswerLine {
        certainty: certainty_words(asked),
        statement: text(&asked.statement).unwrap_or_else(|| "No sentence answers this outcome.".into()),
        outcome: Link {
            text: asked.outcome.to.map(|o| site.catalog.outcomes[o].name.value.to_string()).unwrap_or_default(),
            href: format!("#{}", anchor(site, asked)),
        },
    }
}

fn asking(label: &'static str, link: Option<Link>) -> Option<Asking> {
    link.map(|l| Asking { label, text: l.text, href: Some(l.href) })
}

fn said(label: &'static str, text: Option<String>) -> Option<Asking> {
    text.map(|text| Asking { label, text, href: None })
}

fn asked(site: &Site<'_>, q: &Question) -> Vec<Asking> {
    let parts = [
        asking("In whom", site.follow(Kind::Population, &q.who)),
        said("What is done", Some(q.intervention.value.to_string())),
        asking("Technique", q.technique.as_ref().and_then(|t| site.follow(Kind::Technique, t))),
        said("Compared with", compared_with(q)),
        said(
            "Outcomes",
            Some(
                q.outcomes
                    .iter()
                    .filter_map(|a| Some(site.catalog.outcomes[a.outcome.to?].name.value.to_string()))
                    .collect::<Vec<_>>()
                    .join(", "),
            ),
        ),
        said("Which studies count", Some(q.include.value.to_string())),
    ];
    parts.into_iter().flatten().collect()
}

/// The word for the comparator, and what it was.
fn compared_with(q: &Question) -> Option<String> {
    let word = q.comparator.as_ref()?.value.shown();
    Some(text(&q.compared_with).map_or(word.into(), |what| format!("{word}: {what}")))
}

fn search(site: &Site<'_>, q: &Question) -> Vec<Pair> {
    if invented(site.catalog, q) {
        return vec![Pair { label: "Search".into(), text: "invented, nothing was searched".into() }];
    }
    let places = Some(texts(&q.search.places).join(", ")).filter(|t| !t.is_empty());
    let parts = [("Last search", q.search.date.as_ref().map(|d| d.value.to_string())), ("Where", places), ("How", text(&q.search.how))];
    parts.into_iter().map(|(label, t)| Pair { label: label.into(), text: t.unwrap_or_else(|| "not recorded".into()) }).collect()
}

fn claims_on(site: &Site<'_>, idx: Idx<Question>) -> Vec<ClaimLine> {
    let rests = |c: &Claim| {
        c.effect
            .as_ref()
            .and_then(|e| claims::support(site.catalog, e))
            .is_some_and(|s| matches!(s, claims::Support::Question { question, .. } if question == idx))
    };
    claim_lines(site, rests)
}

/// Claims that fit, each once for a page: some stand there as reason and as evidence.
pub fn claim_lines(site: &Site<'_>, fits: impl Fn(&Claim) -> bool) -> Vec<ClaimLine> {
    let mut out: Vec<ClaimLine> = Vec::new();
    for (page, _, claim) in claims::all(site.catalog).filter(|(_, _, c)| fits(c)) {
        let line = ClaimLine { page: site.link(page), text: claim.text.value.to_string() };
        if !out.contains(&line) {
            out.push(line);
        }
    }
    out
}

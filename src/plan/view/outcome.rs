//! An outcome: what it is, every result about it, the questions that ask for it, the claims about it.

use super::parts::{Frame, Link, LinkGroup};
use super::question::{AnswerLine, ClaimLine, claim_lines};
use super::result::{ResultRow, rows_about};
use crate::compute::appraisal::{asked_about, invented};
use crate::model::docs::{Asked, Outcome, Question};
use crate::model::evidence::Better;
use crate::model::{Idx, Kind};
use crate::plan::route;
use crate::plan::site::{Site, doc, text, texts};
use serde::Serialize;

/// View of `outcome.html`.
#[derive(Debug, Serialize)]
pub struct OutcomePage {
    /// Frame.
    pub frame: Frame,
    /// Other names.
    pub other_names: Vec<String>,
    /// What it is.
    pub about: String,
    /// Which way is better, in words.
    pub better: &'static str,
    /// Answers of the questions that ask about it.
    pub questions: Vec<AnswerLine>,
    /// Answers of questions that rest on made-up sources alone.
    pub invented: Vec<AnswerLine>,
    /// Measures that it is read with.
    pub measures: Vec<Link>,
    /// Results.
    pub results: Vec<ResultRow>,
    /// Claims.
    pub claims: Vec<ClaimLine>,
    /// The page that says what the words mean.
    pub wording: String,
    /// Who refers here.
    pub used_by: Vec<LinkGroup>,
}

impl OutcomePage {
    /// Shows an outcome.
    pub fn new(site: &Site<'_>, idx: Idx<Outcome>) -> OutcomePage {
        let outcome = &site.catalog.outcomes[idx];
        let own = doc(Kind::Outcome, idx);
        let asked = || site.catalog.questions.iter().filter_map(|(q, question)| Some((q, asked_about(question, idx)?.1)));
        let mut measures: Vec<Link> = asked().filter_map(|(_, a)| site.follow(Kind::Measure, a.measured_by.as_ref()?)).collect();
        measures.sort();
        measures.dedup();
        let answer = |(q, a): (Idx<Question>, &Asked)| AnswerLine {
            certainty: super::question::certainty_words(a),
            statement: text(&a.statement).unwrap_or_default(),
            outcome: site.link(doc(Kind::Question, q)),
        };
        let made_up = |q: Idx<Question>| invented(site.catalog, &site.catalog.questions[q]);
        OutcomePage {
            frame: site.doc_frame(own),
            other_names: texts(&outcome.other_names),
            about: outcome.about.value.to_string(),
            better: match outcome.better {
                Some(Better::Higher) => "A higher value is better.",
                Some(Better::Lower) => "A lower value is better.",
                None => "",
            },
            questions: asked().filter(|(q, _)| !made_up(*q)).map(answer).collect(),
            invented: asked().filter(|(q, _)| made_up(*q)).map(answer).collect(),
            measures,
            results: rows_about(site, idx),
            claims: claim_lines(site, |c| c.effect.as_ref().is_some_and(|e| e.outcome.to == Some(idx))),
            wording: site.to(route::WORDING),
            used_by: site.used_by(own),
        }
    }
}

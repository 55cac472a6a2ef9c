//! An outcome: what it is, every result about it, the questions that ask for it, the claims about it.

use super::parts::{Frame, Link, LinkGroup};
use super::question::{AnswerLine, ClaimLine};
use super::result::{ResultRow, rows_about};
use crate::compute::appraisal::{asked_about, claims};
use crate::model::docs::Outcome;
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
        let answers = asked().map(|(q, a)| AnswerLine {
            certainty: super::question::certainty_words(a),
            statement: text(&a.statement).unwrap_or_default(),
            outcome: site.link(doc(Kind::Question, q)),
        });
        let about = claims::all(site.catalog).filter(|(_, _, c)| c.effect.as_ref().is_some_and(|e| e.outcome.to == Some(idx)));
        OutcomePage {
            frame: site.doc_frame(own),
            other_names: texts(&outcome.other_names),
            about: outcome.about.value.to_string(),
            better: match outcome.better {
                Some(Better::Higher) => "A higher value is better.",
                Some(Better::Lower) => "A lower value is better.",
                None => "",
            },
            questions: answers.collect(),
            measures,
            results: rows_about(site, idx),
            claims: about.map(|(page, _, c)| ClaimLine { page: site.link(page), text: c.text.value.to_string() }).collect(),
            wording: site.to(route::WORDING),
            used_by: site.used_by(own),
        }
    }
}

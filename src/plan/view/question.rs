//! A question.

use super::parts::{Frame, LinkGroup, Pair};
use crate::model::docs::Question;
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc};
use serde::Serialize;

/// View of `question.html`.
#[derive(Debug, Serialize)]
pub struct QuestionPage {
    /// Frame.
    pub frame: Frame,
    /// What was asked, part by part.
    pub asked: Vec<Pair>,
    /// Who refers here.
    pub used_by: Vec<LinkGroup>,
}

impl QuestionPage {
    /// Shows a question.
    pub fn new(site: &Site<'_>, idx: Idx<Question>) -> QuestionPage {
        let question = &site.catalog.questions[idx];
        let own = doc(Kind::Question, idx);
        let pair = |label: &str, text: String| Pair { label: label.into(), text };
        QuestionPage {
            frame: site.doc_frame(own),
            asked: vec![
                pair("In whom", site.follow(Kind::Population, &question.who).map(|l| l.text).unwrap_or_default()),
                pair("What", question.intervention.value.to_string()),
                pair("Compared with", question.comparator.as_ref().map(|c| c.value.word().to_string()).unwrap_or_default()),
                pair("Which studies", question.include.value.to_string()),
            ],
            used_by: site.used_by(own),
        }
    }
}

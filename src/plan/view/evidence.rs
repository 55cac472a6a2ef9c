//! Evidence in one place: questions with their answers, outcomes, populations.

use super::list::{Row, note};
use super::parts::{Frame, Link};
use super::question::{AnswerLine, anchor, certainty_words};
use crate::compute::appraisal::is_invented;
use crate::model::{DocRef, Idx, Kind};
use crate::plan::site::{Site, doc, text};
use crate::plan::{route, search};
use serde::Serialize;

/// View of `evidence.html`.
#[derive(Debug, Serialize)]
pub struct EvidencePage {
    /// Frame.
    pub frame: Frame,
    /// The page that says what the words mean.
    pub wording: Link,
    /// Questions with their answers.
    pub questions: Vec<QuestionLine>,
    /// Questions that rest on made-up sources alone.
    pub invented: Vec<QuestionLine>,
    /// Outcomes.
    pub outcomes: Vec<Row>,
    /// Populations.
    pub populations: Vec<Row>,
    /// Lists of each kind.
    pub lists: Vec<Link>,
}

/// A question with its answers.
#[derive(Debug, Serialize)]
pub struct QuestionLine {
    /// Page.
    pub link: Link,
    /// Answers.
    pub answers: Vec<AnswerLine>,
}

/// Kinds that stand under this heading in the menu.
pub const KINDS: [Kind; 3] = [Kind::Question, Kind::Outcome, Kind::Population];

impl EvidencePage {
    /// Makes the page.
    pub fn new(site: &Site<'_>) -> EvidencePage {
        let lists = KINDS.into_iter().chain([Kind::Source]).filter(|k| site.catalog.docs(*k).next().is_some());
        let (invented, asked): (Vec<DocRef>, Vec<DocRef>) =
            sorted(site, Kind::Question).into_iter().partition(|d| is_invented(site.catalog, *d));
        let lines = |docs: Vec<DocRef>| docs.into_iter().map(|d| question(site, d)).collect();
        EvidencePage {
            frame: site.frame("Evidence"),
            wording: Link { text: super::wording::TITLE.into(), href: site.to(route::WORDING) },
            questions: lines(asked),
            invented: lines(invented),
            outcomes: rows(site, Kind::Outcome),
            populations: rows(site, Kind::Population),
            lists: lists.map(|k| Link { text: route::heading(k).into(), href: site.to(&route::list(k)) }).collect(),
        }
    }
}

fn sorted(site: &Site<'_>, kind: Kind) -> Vec<DocRef> {
    let mut docs: Vec<DocRef> = site.catalog.docs(kind).collect();
    docs.sort_by_cached_key(|d| (search::fold(&site.name(*d)), site.catalog.id(*d).to_string()));
    docs
}

fn rows(site: &Site<'_>, kind: Kind) -> Vec<Row> {
    let row = |d: DocRef| Row { text: site.name(d), href: site.href(d), note: note(site, d), mark: None };
    sorted(site, kind).into_iter().map(row).collect()
}

fn question(site: &Site<'_>, d: DocRef) -> QuestionLine {
    let own = &site.catalog.questions[Idx::new(d.row as usize)];
    let page = site.href(d);
    let answer = |a| AnswerLine {
        certainty: certainty_words(a),
        statement: text(&a.statement).unwrap_or_default(),
        outcome: Link {
            text: a.outcome.to.map(|o| site.name(doc(Kind::Outcome, o))).unwrap_or_default(),
            href: format!("{page}#{}", anchor(site, a)),
        },
    };
    QuestionLine { link: site.link(d), answers: own.outcomes.iter().map(answer).collect() }
}

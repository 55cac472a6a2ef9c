//! The list of one kind.

use super::parts::{Frame, Mark};
use super::question::certainty_words;
use crate::compute::appraisal::is_invented;
use crate::model::{DocRef, Kind};
use crate::plan::site::Site;
use crate::plan::{route, search, words};
use serde::Serialize;

/// View of `list.html`.
#[derive(Debug, Serialize)]
pub struct List {
    /// Frame.
    pub frame: Frame,
    /// What the list holds, in a sentence.
    pub intro: &'static str,
    /// Rows.
    pub rows: Vec<Row>,
    /// Rows of what was made up.
    pub invented: Vec<Row>,
}

/// A document in a list.
#[derive(Debug, Serialize)]
pub struct Row {
    /// Name.
    pub text: String,
    /// Page.
    pub href: String,
    /// A second line.
    pub note: String,
    /// Mark, for instance an urgency.
    pub mark: Option<Mark>,
}

impl List {
    /// Lists a kind.
    pub fn new(site: &Site<'_>, kind: Kind) -> List {
        let mut docs: Vec<DocRef> = site.catalog.docs(kind).collect();
        docs.sort_by_cached_key(|d| (rank(site, *d), search::fold(&site.name(*d)), site.catalog.id(*d).to_string()));
        let row = |d: DocRef| Row { text: site.name(d), href: site.href(d), note: note(site, d), mark: mark(site, d) };
        let (invented, rows): (Vec<DocRef>, Vec<DocRef>) = docs.into_iter().partition(|d| is_invented(site.catalog, *d));
        let all = |docs: Vec<DocRef>| docs.into_iter().map(row).collect();
        List { frame: site.frame(route::heading(kind)), intro: intro(kind), rows: all(rows), invented: all(invented) }
    }
}

fn rank(site: &Site<'_>, doc: DocRef) -> usize {
    match doc.kind {
        Kind::Flag => site.catalog.flags.rows().get(doc.row as usize).and_then(|f| f.urgency).map_or(0, |u| u as usize),
        _ => 0,
    }
}

fn mark(site: &Site<'_>, doc: DocRef) -> Option<Mark> {
    match doc.kind {
        Kind::Flag => site.catalog.flags.rows().get(doc.row as usize).and_then(|f| f.urgency).map(words::urgency),
        Kind::Protocol => site.mark(doc),
        _ => None,
    }
}

/// The second line of a document in lists and search results.
pub fn note(site: &Site<'_>, doc: DocRef) -> String {
    let (catalog, i) = (site.catalog, doc.row as usize);
    let note = match doc.kind {
        Kind::Muscle => catalog.muscles.rows().get(i).map(|d| d.latin.value.to_string()),
        Kind::Protocol => catalog.protocols.rows().get(i).map(|d| d.aim.value.to_string()),
        Kind::Technique => catalog.techniques.rows().get(i).map(|d| d.aim.value.to_string()),
        Kind::Condition => catalog.conditions.rows().get(i).and_then(|d| d.question.as_ref()).map(|q| q.value.to_string()),
        Kind::Flag => catalog.flags.rows().get(i).map(|d| d.question.value.to_string()),
        Kind::Measure => catalog.measures.rows().get(i).map(|d| d.measures.value.to_string()),
        Kind::Position => catalog.positions.rows().get(i).map(|d| d.how.value.to_string()),
        Kind::Source => catalog.sources.rows().get(i).map(|d| d.bibliography.title.value.to_string()),
        Kind::Question => catalog.questions.rows().get(i).map(|d| {
            let answer = d.outcomes.iter().find_map(|a| Some(format!("{}: {}", certainty_words(a), a.statement.as_ref()?.value)));
            answer.unwrap_or_else(|| d.intervention.value.to_string())
        }),
        Kind::Outcome => catalog.outcomes.rows().get(i).map(|d| d.about.value.to_string()),
        Kind::Population => catalog.populations.rows().get(i).and_then(|d| d.about.as_ref()).map(|a| a.value.to_string()),
        Kind::Session => catalog.sessions.rows().get(i).and_then(|d| d.note.as_ref()).map(|n| n.value.to_string()),
        Kind::Page | Kind::Pack | Kind::Audit | Kind::Change => None,
    };
    note.unwrap_or_default()
}

fn intro(kind: Kind) -> &'static str {
    match kind {
        Kind::Protocol => "Ordered steps for one muscle, with stop-signs and cautions worked out for each.",
        Kind::Muscle => "Where each muscle lies, how it is palpated, where to look first and where its points may refer pain.",
        Kind::Technique => "What is done, within which numbers, and when to stop.",
        Kind::Condition => "What a condition bars, limits or asks for, by kind of load.",
        Kind::Flag => "Signs that stop treatment for today, most urgent first.",
        Kind::Position => "How the person lies or sits, what is bare, and what bears weight.",
        Kind::Measure => "What can be measured again, and how large a change must be before it means anything.",
        Kind::Question => "What was asked, which results answer it, and how sure the answer is.",
        Kind::Outcome => "What can change, and which way is better.",
        Kind::Population => "In whom something was studied.",
        Kind::Session => "Several protocols in one appointment, with their doses added up.",
        Kind::Page => "Teaching notes and policies.",
        Kind::Source => "What was read, how far it was checked, and which dose was studied.",
        Kind::Pack | Kind::Audit | Kind::Change => "",
    }
}

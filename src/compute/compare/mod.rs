//! What changed between two editions, or between a base pack and a house pack, most dangerous first.
//!
//! Two things are compared: what protocols and sessions come down to, cell by cell (`cells`), and what each document
//! says, field by field (`walk`, judged by the tables in `fields`). A cell can move the loose way while a field moves the
//! tight way, so cells come first. What a shared document says is told once, at that document, with all the protocols on
//! which it shows; a line of a protocol that only repeats it is left out. No difference of content is without a line.

mod cells;
mod change;
mod fields;
mod judge;
mod order;
mod pairs;
mod rename;
mod show;
mod stops;
mod totals;
mod walk;

pub use change::{Change, Class, Step, Topic, Way, demanded, enough, raised};
pub use pairs::likeness;
pub use rename::ALIKE;

use crate::compute::Facts;
use crate::compute::currency::PARTS;
use crate::compute::currency::derived::{self, Derived};
use crate::model::content::Content;
use crate::model::{Catalog, DocName, Kind};
use cells::Cells;
use fields::Rule;
use judge::{About, Verdict};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use show::Amount;
use std::collections::{BTreeMap, BTreeSet};

/// Id of what the pack file says apart from the parts on which documents rest.
const ABOUT: &str = "about";

/// One side of a comparison: a pack as it stands, or an edition that was kept.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Side {
    /// Edition of the pack.
    pub edition: String,
    /// Title and content of every document.
    pub documents: BTreeMap<DocName, (String, Content)>,
    /// Cells of every protocol and session.
    pub derived: BTreeMap<DocName, Derived>,
    /// For every protocol and session, the documents on which it rests, itself included.
    pub rests_on: BTreeMap<DocName, BTreeSet<DocName>>,
}

impl Side {
    /// From what was loaded and computed.
    pub fn of(catalog: &Catalog, facts: &Facts) -> Side {
        let mut side = Side { derived: derived::all(catalog, facts), ..Side::default() };
        for statement in facts.currency.all() {
            let title = match (statement.doc, &*statement.name.id) {
                (Some(doc), _) => catalog.title(doc).to_string(),
                (None, "house") => "House rules".into(),
                (None, "referral") => "Destinations and emergency number".into(),
                (None, id) => id.into(),
            };
            side.documents.insert(statement.name.clone(), (title, statement.content.clone()));
            if matches!(statement.name.kind, Kind::Protocol | Kind::Session) {
                side.rests_on.insert(statement.name.clone(), statement.rests_on.keys().cloned().collect());
            }
        }
        if let Some(pack) = catalog.packs.rows().first() {
            side.edition = pack.edition.value.to_string();
            let parts = PARTS.iter().flat_map(|(_, keys)| *keys).chain(&["edition"]);
            let mut rest = pack.head.content.value().clone();
            if let Value::Object(map) = &mut rest {
                parts.for_each(|key| drop(map.remove(*key)));
            }
            side.documents.insert(about(), ("About the pack".into(), Content::from_value(rest)));
        }
        side
    }
}

fn about() -> DocName {
    DocName { kind: Kind::Pack, id: ABOUT.into() }
}

/// A change before it is known where it shows.
#[derive(Clone, Debug)]
struct Line {
    verdict: Verdict,
    path: String,
    old: Option<String>,
    new: Option<String>,
    /// Which cell it is, where a shared document and a protocol speak of the same.
    cell: String,
    /// The condition or flag it comes from.
    about: Option<DocName>,
}

impl Line {
    fn new(verdict: Verdict, path: impl Into<String>, old: Option<String>, new: Option<String>) -> Line {
        Line { verdict, path: path.into(), old, new, cell: String::new(), about: None }
    }

    /// Of two amounts, one of which may be missing.
    fn of_amounts(rule: Rule, asked: About<'_>, old: Option<Amount>, new: Option<Amount>) -> Line {
        match (old, new) {
            (Some(a), Some(b)) => {
                let (way, ratio) = judge::amounts(rule.judge, a, b, asked);
                let (old, new) = show::amounts(a, b);
                Line::new(Verdict { topic: rule.topic, way, ratio }, "", Some(old), Some(new))
            }
            (a, b) => {
                let shown = |x: Option<Amount>| x.map(|x| x.shown(None));
                Line::new(judge::presence(rule, a.is_some()), "", shown(a), shown(b))
            }
        }
    }

    fn cell(mut self, cell: impl Into<String>) -> Line {
        self.cell = cell.into();
        self
    }

    fn about(mut self, name: &DocName) -> Line {
        self.about = Some(name.clone());
        self
    }

    /// True if two lines say the same of two places.
    fn says(&self, other: &Line) -> bool {
        (self.verdict, &self.old, &self.new, &self.cell) == (other.verdict, &other.old, &other.new, &other.cell)
    }
}

/// A line with its document and where it shows.
struct Placed {
    document: DocName,
    line: Line,
    /// True if the whole document is new or gone.
    whole: bool,
    shows_on: BTreeSet<DocName>,
}

/// All changes, most dangerous first. Nothing for two sides that say the same.
pub fn compare(old: &Side, new: &Side) -> Vec<Change> {
    let names = rename::find(old, new);
    let before = rename::apply(old, &names);
    let title = |name: &DocName| {
        let found = new.documents.get(name).or_else(|| before.documents.get(name));
        found.map_or_else(|| name.id.to_string(), |(title, _)| title.clone())
    };
    let mut placed: Vec<Placed> = Vec::new();
    let mut put = |document: &DocName, whole: bool, lines: Vec<Line>| {
        let shows_on = shows_on(document, &before, new);
        placed.extend(lines.into_iter().map(|line| Placed { document: document.clone(), line, whole, shows_on: shows_on.clone() }));
    };
    for (from, to) in &names {
        let verdict = Verdict { topic: Topic::Wording, way: Way::Different, ratio: None };
        put(to, false, vec![Line::new(verdict, "renamed", Some(from.to_string()), Some(to.to_string()))]);
    }
    let all: BTreeSet<&DocName> = before.documents.keys().chain(new.documents.keys()).collect();
    for name in all {
        match (before.documents.get(name), new.documents.get(name)) {
            (Some(a), Some(b)) => {
                let cells = before.derived.get(name).zip(new.derived.get(name)).map(|(x, y)| cells::compare(x, y, &title));
                let mut lines = walk::compare(name, &a.1, &b.1, cells.as_ref());
                lines.extend(cells.map(|Cells { lines, .. }| lines).unwrap_or_default());
                put(name, false, lines);
            }
            (a, b) => {
                let words = |side: Option<&(String, Content)>| side.map(|(title, _)| title.clone());
                let verdict = judge::presence(fields::document(name.kind), a.is_some());
                put(name, true, vec![Line::new(verdict, format!("the whole {}", name.kind.word()), words(a), words(b))]);
            }
        }
    }
    let mut changes: Vec<Change> = once(placed).into_iter().map(|p| change(p, &title)).collect();
    changes.sort_by(Change::order);
    changes
}

fn change(placed: Placed, title: &dyn Fn(&DocName) -> String) -> Change {
    let Placed { document, line, shows_on, .. } = placed;
    let Verdict { topic, way, ratio } = line.verdict;
    let title = title(&document);
    let shows_on = shows_on.into_iter().collect();
    Change { class: topic.class(way), way, topic, document, title, path: line.path, old: line.old, new: line.new, ratio, shows_on }
}

/// Protocols and sessions that rest on a document, on either side. The words about the pack stand on all of them.
fn shows_on(name: &DocName, old: &Side, new: &Side) -> BTreeSet<DocName> {
    let all = old.rests_on.iter().chain(&new.rests_on);
    all.filter(|(_, rests)| rests.contains(name) || *name == about()).map(|(doc, _)| doc.clone()).collect()
}

/// Without the lines of protocols and sessions that only repeat what a line of another document says.
fn once(placed: Vec<Placed>) -> Vec<Placed> {
    let repeats = |own: &Placed, other: &Placed| {
        if own.document == other.document || !other.shows_on.contains(&own.document) {
            return false;
        }
        let cell = !own.line.cell.is_empty() && own.line.says(&other.line);
        let whole = other.whole && own.line.about.as_ref() == Some(&other.document);
        let session = own.document.kind == Kind::Session
            && other.document.kind == Kind::Protocol
            && own.line.path == other.line.path
            && own.line.says(&other.line);
        match own.document.kind {
            Kind::Protocol => (cell || whole) && other.document.kind != Kind::Protocol,
            Kind::Session => session,
            _ => false,
        }
    };
    let keep: Vec<bool> = placed.iter().map(|own| !placed.iter().any(|other| repeats(own, other))).collect();
    placed.into_iter().zip(keep).filter_map(|(p, keep)| keep.then_some(p)).collect()
}

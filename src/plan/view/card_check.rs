//! Does a card still hold? Every code that was ever signed or is printed now, with what to do.

use super::parts::{Frame, Link, Mark};
use crate::compute::currency::code::{self, Answer, Known, LETTERS, TAKEN_FOR};
use crate::plan::site::Site;
use crate::plan::words;
use serde::Serialize;

/// View of `card_check.html`.
#[derive(Debug, Serialize)]
pub struct CardCheck {
    /// Frame.
    pub frame: Frame,
    /// Codes of cards that hold.
    pub holding: Vec<Row>,
    /// Codes of cards to take out of the rooms: the withdrawal list.
    pub withdrawn: Vec<Row>,
    /// Letters of a code in the order of their value, for the script.
    pub letters: String,
    /// Letters that no code has and those for which they are taken, for the script.
    pub taken_for: String,
}

/// A code.
#[derive(Debug, Serialize)]
pub struct Row {
    /// The code.
    pub code: String,
    /// Protocol.
    pub protocol: String,
    /// Title and, if the protocol is still there, its page.
    pub title: Link,
    /// Edition in which it was first signed.
    pub edition: Option<String>,
    /// The day by which a card that holds is to be looked at again; the script asks whether it has passed.
    pub by: Option<String>,
    /// The answer in a word.
    pub mark: Mark,
    /// The answer and what to do.
    pub text: String,
}

impl CardCheck {
    /// The page.
    pub fn new(site: &Site<'_>) -> CardCheck {
        let known = code::register(site.catalog, &site.facts.currency, site.facts.today);
        let (holding, withdrawn): (Vec<&Known>, Vec<&Known>) = known.iter().partition(|k| k.answer.holds());
        let rows = |all: Vec<&Known>| all.into_iter().map(|k| row(site, k)).collect();
        CardCheck {
            frame: site.frame("Does this card still hold?"),
            holding: rows(holding),
            withdrawn: rows(withdrawn),
            letters: LETTERS.iter().map(|l| char::from(*l)).collect(),
            taken_for: TAKEN_FOR.iter().flat_map(|(seen, meant)| [*seen, *meant]).collect(),
        }
    }
}

fn row(site: &Site<'_>, known: &Known) -> Row {
    let doc = site.catalog.find(known.protocol.kind, &known.protocol.id);
    Row {
        code: known.code.to_string(),
        protocol: known.protocol.to_string(),
        title: Link { text: known.title.clone(), href: doc.map(|d| site.href(d)).unwrap_or_default() },
        edition: known.edition.clone(),
        by: match known.answer {
            Answer::Current(by) => by.map(|d| d.to_string()),
            _ => None,
        },
        mark: mark(&known.answer),
        text: answer(known),
    }
}

fn mark(answer: &Answer) -> Mark {
    let (word, shape, class) = match answer {
        Answer::Current(_) => ("Current", "circle", "state-approved"),
        Answer::NotInForce(state) => return words::state(*state),
        Answer::Superseded(..) => ("Superseded", "triangle", "state-overdue"),
        Answer::Changed => ("Changed since", "triangle", "state-overdue"),
        Answer::Withdrawn(..) => ("Withdrawn", "octagon", "state-suspended"),
    };
    Mark { word, shape, class }
}

/// The answer in a sentence or two, for page and terminal.
pub fn answer(known: &Known) -> String {
    let edition = known.edition.as_ref().map(|e| format!("edition {e}")).unwrap_or_default();
    let kind = known.protocol.kind.word();
    match &known.answer {
        Answer::Current(by) => {
            let by = by.map(|d| format!(", to be looked at again by {d}")).unwrap_or_default();
            format!("Current: approved in {edition}{by}.")
        }
        Answer::NotInForce(state) => {
            format!("Not in force: the {kind} is as on the card, and its state is: {}. Do not use the card.", state.word())
        }
        Answer::Superseded(by, date) => {
            format!("Superseded by edition {by} on {date}. Take the card ({edition}) out of use and print the new one.")
        }
        Answer::Changed => format!("Superseded: the {kind} was changed, and nobody has approved it since. Take the card out of use."),
        Answer::Withdrawn(since, because) => {
            let since = since.map(|d| format!(" since {d}")).unwrap_or_default();
            let because = because.as_ref().map(|b| format!(": {}", b.trim_end_matches('.'))).unwrap_or_default();
            format!("Withdrawn{since}{because}. Take the card out of use.")
        }
    }
}

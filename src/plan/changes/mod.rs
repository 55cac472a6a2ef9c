//! A list of changes for people and programs: as text, as Markdown, as data, as a page. All in one order.

mod markdown;
pub mod page;
mod text;

use super::words;
use crate::compute::compare::{Change, Class, Side, Step, compare, demanded, enough, raised};
use crate::error::ToolError;
use crate::model::{DocName, Kind};
use serde::Serialize;
use std::collections::BTreeSet;

/// What the list is and what it is not.
pub const CAUTION: &str = "Looser and tighter follow from numbers, lists and tables alone; whether a change is right, a person decides.";

/// One side, as it is named.
#[derive(Clone, Debug, Serialize)]
pub struct Named {
    /// As given.
    pub name: String,
    /// Edition.
    pub edition: String,
}

/// A document by name and title.
#[derive(Clone, Debug, Serialize)]
pub struct Card {
    /// Name.
    pub document: DocName,
    /// Title.
    pub title: String,
}

/// The whole list.
#[derive(Clone, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Listing {
    /// Version of this form.
    version: u32,
    /// Before.
    pub old: Named,
    /// After.
    pub new: Named,
    /// Most dangerous first.
    pub changes: Vec<Change>,
    /// Protocols whose card shows a change.
    pub reprint: Vec<Card>,
    /// Protocols that are there no longer, at least not under that name.
    pub withdraw: Vec<Card>,
    /// The step of the edition that the changes demand.
    pub demanded: Option<Step>,
    /// The step that was made.
    pub raised: Option<Step>,
    /// True if that is enough.
    pub enough: bool,
    /// What the list is not.
    caution: [&'static str; 2],
}

impl Listing {
    /// Compares two sides, each with the name under which it was given.
    pub fn new(old: (&str, &Side), new: (&str, &Side)) -> Listing {
        let changes = compare(old.1, new.1);
        let named = |(name, side): (&str, &Side)| Named { name: name.to_string(), edition: side.edition.clone() };
        let protocols =
            |side: &Side| -> BTreeSet<DocName> { side.documents.keys().filter(|n| n.kind == Kind::Protocol).cloned().collect() };
        let card = |side: &Side, document: &DocName| {
            let title = side.documents.get(document).map_or_else(String::new, |(title, _)| title.clone());
            Card { document: document.clone(), title }
        };
        let (before, after) = (protocols(old.1), protocols(new.1));
        let shown: BTreeSet<&DocName> = changes.iter().flat_map(|c| &c.shows_on).collect();
        let enough = enough(&old.1.edition, &new.1.edition, &changes);
        Listing {
            version: 1,
            old: named(old),
            new: named(new),
            reprint: after.iter().filter(|n| shown.contains(n)).map(|n| card(new.1, n)).collect(),
            withdraw: before.difference(&after).map(|n| card(old.1, n)).collect(),
            demanded: demanded(&changes),
            raised: raised(&old.1.edition, &new.1.edition),
            enough,
            changes,
            caution: [CAUTION, words::USE_NOTE],
        }
    }

    /// As one JSON object.
    ///
    /// # Errors
    /// Never: it holds text and finite numbers.
    pub fn json(&self) -> Result<String, ToolError> {
        serde_json::to_string_pretty(self).map(|text| text + "\n").map_err(|e| ToolError::Bug(e.to_string()))
    }

    /// As text of a width; nothing if nothing changed.
    pub fn text(&self, width: usize) -> String {
        text::text(self, width)
    }

    /// As Markdown; nothing if nothing changed.
    pub fn markdown(&self) -> String {
        markdown::markdown(self)
    }

    /// Changes by class, most dangerous first, without empty classes.
    fn groups(&self) -> impl Iterator<Item = (Class, Vec<&Change>)> {
        let of = |class: Class| (class, self.changes.iter().filter(|c| c.class == class).collect::<Vec<_>>());
        Class::ALL.into_iter().map(of).filter(|(_, changes)| !changes.is_empty())
    }

    /// Number of changes and both editions.
    fn headline(&self) -> String {
        let n = self.changes.len();
        format!("{n} change{} from edition {} to edition {}", if n == 1 { "" } else { "s" }, self.old.edition, self.new.edition)
    }

    /// What the changes demand of the edition, and whether it was done.
    pub fn verdict(&self) -> String {
        let Some(step) = self.demanded else { return "Nothing changed.".into() };
        let least = step.beyond(&self.old.edition).map(|e| format!(", so at least {e}")).unwrap_or_default();
        let made = match self.raised {
            _ if self.old.edition == self.new.edition => format!("it still is {}", self.new.edition),
            None => format!("{} lies not beyond {}", self.new.edition, self.old.edition),
            Some(made) => format!("{} is a {} step", self.new.edition, made.word()),
        };
        let end = if self.enough { "enough" } else { "not enough" };
        format!("These changes demand a {} step of the edition{least}: {made}, which is {end}.", step.word())
    }
}

/// Words of a change that every form shows alike.
struct Words {
    document: String,
    old: String,
    new: String,
    ratio: Option<String>,
    shows_on: String,
}

/// How many names stand in full.
const NAMES: usize = 6;

fn spoken(change: &Change) -> Words {
    let nothing = |gone: bool| if gone { "gone" } else { "nothing" }.to_string();
    let kind = super::route::word(change.document.kind);
    let ids: Vec<&str> = change.shows_on.iter().map(|n| &*n.id).collect();
    let more = ids.len().saturating_sub(NAMES);
    let names = ids.iter().take(NAMES).copied().collect::<Vec<_>>().join(", ");
    Words {
        document: format!("{kind} {}", change.title),
        old: change.old.clone().unwrap_or_else(|| nothing(false)),
        new: change.new.clone().unwrap_or_else(|| nothing(true)),
        ratio: change.ratio.map(|r| format!("× {}", crate::model::quantity::number((r * 100.0).round() / 100.0))),
        shows_on: match (ids.len(), more) {
            (0, _) => "no protocol or session".into(),
            (_, 0) => names,
            _ => format!("{names} and {more} more"),
        },
    }
}

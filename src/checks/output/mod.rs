//! Checks of the area "output": they look at the rendered files, before anything is written.
//!
//! It is not enough to compute a caution; it has to be found on the page and on the card.

use super::{Case, Check};
use crate::finding::{Finding, Level};
use crate::model::docs::Head;
use crate::model::{Catalog, DocRef};
use crate::plan::Shape;
use crate::render::Built;
use crate::source::Span;
use looked::Looked;
use rayon::prelude::*;
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::path::Path;

mod address_taken;
mod build_not_repeatable;
mod card_identity_missing;
mod card_letter_missing;
mod card_overflow;
mod card_page_values_differ;
mod card_type_too_small;
mod caution_missing_from_output;
mod contrast_too_low;
mod css;
mod flag_not_first;
mod heading_order;
mod html;
mod keyboard_trap;
mod looked;
mod notice_missing;
mod outside_request;
mod override_hidden_in_output;
mod personal_data_kept;
mod print_grey_loses_meaning;
mod site_link_broken;
mod target_too_small;
mod text_alternative_missing;
mod tree;

/// Checks of this area.
pub static CHECKS: &[&Check] = &[
    &address_taken::CHECK,
    &build_not_repeatable::CHECK,
    &card_identity_missing::CHECK,
    &card_letter_missing::CHECK,
    &card_overflow::CHECK,
    &card_page_values_differ::CHECK,
    &card_type_too_small::CHECK,
    &caution_missing_from_output::CHECK,
    &contrast_too_low::CHECK,
    &flag_not_first::CHECK,
    &heading_order::CHECK,
    &keyboard_trap::CHECK,
    &notice_missing::CHECK,
    &outside_request::CHECK,
    &override_hidden_in_output::CHECK,
    &personal_data_kept::CHECK,
    &print_grey_loses_meaning::CHECK,
    &site_link_broken::CHECK,
    &target_too_small::CHECK,
    &text_alternative_missing::CHECK,
];

/// The rendered files, with every page taken apart once for all checks.
pub struct Output<'a> {
    /// All files, sorted by path.
    built: &'a [Built],
    /// Pages and cards by path.
    pages: BTreeMap<&'a str, html::Page>,
    /// Faults that are found in a page alone, by path.
    looked: BTreeMap<&'a str, Looked>,
}

impl<'a> Output<'a> {
    /// Takes the pages apart.
    pub fn of(built: &'a [Built]) -> Self {
        let css = built.iter().filter(|b| Path::new(&b.path).extension().is_some_and(|e| e == "css"));
        let sheets: BTreeMap<&str, Vec<css::Rule>> = css.map(|b| (b.path.as_str(), css::rules(b.text()))).collect();
        let shown = built.par_iter().filter(|b| matches!(b.shape, Shape::Page | Shape::Room | Shape::Card | Shape::Sheet | Shape::Handout));
        let read = shown.map(|b| {
            let page = html::read(b.text());
            let own = page.loads.iter().filter_map(|l| sheets.get(site_link_broken::resolve(&b.path, l.split('?').next()?)?.as_str()));
            let rules: Vec<&css::Rule> = own.flatten().collect();
            let looked = looked::look(&b.path, b.text(), &rules);
            ((b.path.as_str(), page), (b.path.as_str(), looked))
        });
        let (pages, looked) = read.unzip();
        Self { built, pages, looked }
    }

    /// Calls `say` for each fault of one kind, with the place of the document that the page shows.
    fn each(&self, case: &Case<'_>, kind: fn(&Looked) -> &Vec<String>, mut say: impl FnMut(Span, &str, &str)) {
        let Some(pack) = case.catalog.packs.rows().first() else { return };
        for file in self.built {
            let Some(looked) = self.looked.get(file.path.as_str()) else { continue };
            let span = file.doc.and_then(|d| case.catalog.head(d)).map_or(pack.head.at, place_of);
            kind(looked).iter().for_each(|why| say(span, &file.path, why));
        }
    }

    /// Text of a file; JSON strings are read, so that escapes hide nothing.
    fn shown(&self, file: &Built) -> Cow<'_, str> {
        if let Some(page) = self.pages.get(file.path.as_str()) {
            return Cow::Borrowed(&page.text);
        }
        let mut text = String::new();
        if let Ok(value) = serde_json::from_str::<serde_json::Value>(file.text()) {
            strings(&value, &mut text);
        }
        Cow::Owned(html::plain(&text))
    }

    /// Files of these shapes with what is on them.
    fn pages(&self, shapes: &'static [Shape]) -> impl Iterator<Item = (&'a Built, &html::Page)> {
        self.built.iter().filter(|b| shapes.contains(&b.shape)).filter_map(|b| Some((b, self.pages.get(b.path.as_str())?)))
    }
}

fn strings(value: &serde_json::Value, out: &mut String) {
    match value {
        serde_json::Value::String(s) => {
            out.push_str(s);
            out.push('\n');
        }
        serde_json::Value::Array(items) => items.iter().for_each(|v| strings(v, out)),
        serde_json::Value::Object(map) => map.values().for_each(|v| strings(v, out)),
        _ => {}
    }
}

/// Findings for files that the same inputs made with other bytes last time.
pub fn unrepeatable(paths: &[&str], catalog: &Catalog) -> Option<Finding> {
    let first = paths.first()?;
    let at = catalog.packs.rows().first()?.head.at;
    let message = format!("the same packs made `{first}` with other bytes than last time");
    let mut finding = Finding::new(build_not_repeatable::CHECK.name, Level::Error, at, "this pack", message);
    finding.note(format!("{} files differ", paths.len())).help("look for a date, a random number or an order of its own in your templates");
    Some(finding)
}

/// Findings for documents whose page would take the place of another.
pub fn clashes(clashes: &[(String, Option<DocRef>)], catalog: &Catalog) -> Vec<Finding> {
    let one = |(path, doc): &(String, Option<DocRef>)| {
        let head = catalog.head((*doc)?)?;
        let message = format!("`{path}` would stand for two things");
        let mut finding = Finding::new(address_taken::CHECK.name, Level::Error, place_of(head), "this id", message);
        finding.help("choose another id and rename the file");
        Some(finding)
    };
    clashes.iter().filter_map(one).collect()
}

/// Findings for protocols with an item that no card face can hold.
pub fn overfull(protocols: &[DocRef], catalog: &Catalog) -> Vec<Finding> {
    let one = |doc: &DocRef| {
        let head = catalog.head(*doc)?;
        let message = format!("an item on the card of `{}` is higher than a card", catalog.title(*doc));
        let mut finding = Finding::new(card_overflow::CHECK.name, Level::Error, place_of(head), "this protocol", message);
        finding.note("An item is never split: the line that would fall off the edge may be the one that is needed.");
        finding.help("shorten its longest step, stop rule or caution, or make two of it");
        Some(finding)
    };
    protocols.iter().filter_map(one).collect()
}

/// An item that does not fit where it was set for printing.
pub struct Fallen {
    /// Protocol.
    pub doc: DocRef,
    /// Page of the card, and its pages.
    pub page: (usize, usize),
    /// What does not fit, in its own words.
    pub item: String,
    /// By how many mm.
    pub over: f64,
}

/// Findings for items that do not fit where they were set.
pub fn fallen(items: &[Fallen], paper: &str, catalog: &Catalog) -> Vec<Finding> {
    let one = |f: &Fallen| {
        let head = catalog.head(f.doc)?;
        let (title, (page, pages)) = (catalog.title(f.doc), f.page);
        let message = format!("page {page} of {pages} of the card of `{title}` is {:.1} mm too high on {paper}", f.over);
        let mut finding = Finding::new(card_overflow::CHECK.name, Level::Error, place_of(head), "this protocol", message);
        finding.note(format!("the first item that does not fit: {}", f.item));
        finding.note("Measured where it was set. An item is never split: the line that would fall off may be the one that is needed.");
        finding.help("shorten this item, or make two of it; or choose a larger paper");
        Some(finding)
    };
    items.iter().filter_map(one).collect()
}

/// A finding for a letter that cannot be printed, where an author wrote it, or at the protocol.
pub fn letter_missing(letter: char, doc: DocRef, written: Option<Span>, catalog: &Catalog) -> Option<Finding> {
    let head = catalog.head(doc)?;
    let code = u32::from(letter);
    let message = format!("the card of `{}` has `{letter}` (U+{code:04X}), which its typeface cannot print", catalog.title(doc));
    let (at, label) = written.map_or((place_of(head), "this protocol"), |at| (at, "this letter"));
    let mut finding = Finding::new(card_letter_missing::CHECK.name, Level::Error, at, label, message);
    finding.note("On paper an empty box would stand in its place, and nobody would know what it was.");
    finding.help("write it with letters of Latin, Greek or Cyrillic script, or in words");
    Some(finding)
}

/// Where a finding about the output of a document points: its id.
fn place_of(head: &Head) -> Span {
    if head.id.span.start == head.id.span.end { head.at } else { head.id.span }
}

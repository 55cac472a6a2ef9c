//! `fascicle cards`: every stage up to the looks at the site, then cards set for printing, all or none of them.

use crate::build::{self, Judged};
use crate::checks::output::{Fallen, fallen, letter_missing};
use crate::compute::currency::sign_off::State;
use crate::error::ToolError;
use crate::finding::Finding;
use crate::model::{Catalog, DocRef};
use crate::pdf::{self, Card, Deck, Made, TooHigh};
use crate::plan::cards::Printed;
use crate::plan::paper::Paper;
use crate::plan::view::card::Face;
use crate::plan::{self, Shape};
use crate::render::{Built, Templates};
use crate::source::Span;
use crate::write::{self, Written};
use jiff::civil::Date;
use rayon::prelude::*;
use std::collections::BTreeSet;
use std::path::Path;

/// File with every card.
pub const ALL: &str = "all.pdf";

/// Cards that are set and not yet written.
pub struct Press {
    /// Files, if every card could be set.
    files: Option<Vec<Built>>,
    inputs: String,
    /// Cards.
    pub cards: usize,
    /// Titles of cards that nobody has approved as they are, each with its state.
    pub unsigned: Vec<String>,
}

impl Press {
    /// The files; `None` if a card could not be set whole.
    pub fn files(&self) -> Option<&[Built]> {
        self.files.as_deref()
    }

    /// Writes them; `None` if a card could not be set whole.
    ///
    /// # Errors
    /// When the folder holds anything but cards, or the disk refuses.
    pub fn write(&self, into: &Path) -> Result<Option<Written>, ToolError> {
        self.files.as_ref().map(|files| write::write(files, into, &self.inputs)).transpose()
    }
}

/// Makes sure that a folder may take cards.
///
/// # Errors
/// When fascicle made something else there.
pub fn may_take(into: &Path) -> Result<(), ToolError> {
    match write::standing(into)? {
        Some(standing) if !standing.holds_cards_alone() => {
            let what = format!("{} holds a site or a dossier, which cards would replace; name another folder", into.display());
            Err(ToolError::Usage(what))
        }
        _ => Ok(()),
    }
}

/// Looks at the site and sets every card; findings are added to `judged`.
///
/// # Errors
/// When the packs could not be linked or a template is broken.
pub fn press(judged: &mut Judged, paper: Paper, today: Date) -> Result<Press, ToolError> {
    build::look(judged, Templates::shipped(), today)?;
    let (press, findings) = cards(judged, paper)?;
    judged.add(findings);
    Ok(press)
}

/// Sets every card, and says what cannot be printed.
///
/// # Errors
/// When the packs could not be linked or the template is broken.
pub fn cards(judged: &Judged, paper: Paper) -> Result<(Press, Vec<Finding>), ToolError> {
    let catalog = judged.catalog.as_ref().ok_or_else(|| ToolError::Bug("nothing to print".into()))?;
    let cards = plan::cards(catalog, &judged.facts, paper)?;
    let mut findings = Vec::new();
    let mut told = BTreeSet::new();
    for card in &cards {
        let letters = lacking(card)?.into_iter().filter(|c| told.insert(*c));
        findings.extend(letters.filter_map(|c| letter_missing(c, card.doc, written(judged, c), catalog)));
    }
    let mut files = None;
    if findings.is_empty() {
        let (made, too_high) = set(&cards, catalog, paper)?;
        files = too_high.is_empty().then_some(made);
        findings = fallen(&too_high, paper.name, catalog);
    }
    let unsigned = cards.iter().filter(|c| !matches!(c.state, State::Approved | State::Due)).map(said).collect();
    let inputs = format!("{} on {}", judged.inputs(&[]), paper.name);
    Ok((Press { files, inputs, cards: cards.len(), unsigned }, findings))
}

fn said(card: &Printed) -> String {
    card.faces.first().map(|f| format!("{} ({})", f.title, f.state.word)).unwrap_or_default()
}

/// Letters on a card that its typeface lacks.
fn lacking(card: &Printed) -> Result<Vec<char>, ToolError> {
    let text = serde_json::to_string(&card.faces).map_err(|e| ToolError::Bug(e.to_string()))?;
    Ok(pdf::lacking(&text))
}

/// Where an author wrote a letter.
fn written(judged: &Judged, letter: char) -> Option<Span> {
    let map = &judged.loaded.map;
    map.ids().find_map(|id| map.text(id).find(letter).map(|at| Span::new(id, at, at + letter.len_utf8())))
}

/// A file for each card and one for all, and what does not fit.
fn set(cards: &[Printed], catalog: &Catalog, paper: Paper) -> Result<(Vec<Built>, Vec<Fallen>), ToolError> {
    let single = |card: &Printed| -> Result<(Built, Vec<Fallen>), ToolError> {
        let made = pdf::make(&Deck { title: title(card), cards: vec![of(card)] }, paper)?;
        let too_high = made.too_high.iter().filter_map(|t| told(card, t)).collect();
        Ok((file(name(catalog, card.doc), Some(card.doc), made), too_high))
    };
    let singles = cards.par_iter().map(single).collect::<Result<Vec<_>, ToolError>>()?;
    let (mut files, too_high): (Vec<Built>, Vec<Vec<Fallen>>) = singles.into_iter().unzip();
    if !cards.is_empty() {
        let mut packs: Vec<&str> = cards.iter().filter_map(|c| c.faces.first()).map(|f| f.edition.as_str()).collect();
        packs.dedup();
        let deck = Deck { title: format!("All cards. {}", packs.join("; ")), cards: cards.iter().map(of).collect() };
        files.push(file(ALL.into(), None, pdf::make(&deck, paper)?));
    }
    Ok((files, too_high.into_iter().flatten().collect()))
}

/// The file stands under the name of the card's page.
fn name(catalog: &Catalog, doc: DocRef) -> String {
    let page = plan::route::card_of(catalog, doc).unwrap_or_default();
    let stem = Path::new(&page).file_stem().map(|s| s.to_string_lossy().into_owned()).unwrap_or_default();
    format!("{stem}.pdf")
}

fn of(card: &Printed) -> Card<'_> {
    Card { language: &card.language, faces: &card.faces }
}

fn title(card: &Printed) -> String {
    card.faces.first().map(|f| format!("Card: {}. {}", f.title, f.edition)).unwrap_or_default()
}

fn file(path: String, doc: Option<DocRef>, made: Made) -> Built {
    Built { path, shape: Shape::Card, doc, bytes: made.bytes }
}

/// What does not fit, in its own words.
fn told(card: &Printed, too: &TooHigh) -> Option<Fallen> {
    let face = card.faces.get(too.face)?;
    let item = too.item.and_then(|place| words(face, place)).unwrap_or_else(|| "head and foot of the card".into());
    Some(Fallen { doc: card.doc, page: (face.page, face.pages), item, over: too.over })
}

/// Heading of an item and how it begins.
fn words(face: &Face, (section, item): (usize, usize)) -> Option<String> {
    const BEGINNING: usize = 60;
    let section = face.sections.get(section)?;
    let item = section.items.get(item)?;
    let number = item.number.map(|n| format!("{n}. ")).unwrap_or_default();
    let piece = item.lines.iter().flatten().map(|p| if p.label.is_empty() { p.text.clone() } else { format!("{}: {}", p.label, p.text) });
    let first = item.stop.as_ref().map(|s| s.text.clone()).or_else(|| item.lead.clone()).or_else(|| piece.into_iter().next());
    let first = first.unwrap_or_default();
    let short: String = first.chars().take(BEGINNING).collect();
    let dots = if short.len() < first.len() { " …" } else { "" };
    Some(format!("\"{}\", {number}{short}{dots}", section.heading))
}

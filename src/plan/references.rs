//! References as people read them: the one place that lays them out. Styles and terms are the files in
//! `styles/`; a processor of CSL applies them.

use super::csl;
use crate::error::ToolError;
use crate::model::docs::Source;
use crate::model::vocabulary::Citing;
use crate::model::{Catalog, Idx};
use hayagriva::citationberg::taxonomy::Locator;
use hayagriva::citationberg::{IndependentStyle, Locale, LocaleFile, json::Item};
use hayagriva::{
    BibliographyDriver, BibliographyRequest, BufWriteFormat, CitationItem, CitationRequest, ElemChildren, LocatorPayload, SpecificLocator,
};
use serde_json::Value;
use std::collections::BTreeMap;
use std::sync::LazyLock;

struct Layouts {
    dated: IndependentStyle,
    numbered: IndependentStyle,
    terms: Vec<Locale>,
}

static LAYOUTS: LazyLock<Result<Layouts, String>> = LazyLock::new(|| {
    let style = |text: &str| IndependentStyle::from_xml(text).map_err(|e| format!("a style of references cannot be read: {e}"));
    let terms =
        LocaleFile::from_xml(include_str!("../../styles/en-GB.xml")).map_err(|e| format!("the terms of references cannot be read: {e}"))?;
    Ok(Layouts {
        dated: style(include_str!("../../styles/author-date.csl"))?,
        numbered: style(include_str!("../../styles/numbered.csl"))?,
        terms: vec![terms.into()],
    })
});

/// The sources of a catalogue, ready to be laid out.
pub struct References {
    layouts: &'static Layouts,
    items: Vec<Item>,
    letters: Vec<Option<char>>,
    labels: Vec<String>,
    lines: [Vec<String>; 2],
    numbers: Vec<usize>,
}

/// Sources whose author and year come out equal, by that label.
pub type Alike<'a> = Vec<(String, Vec<(Idx<Source>, &'a Source)>)>;

impl References {
    /// Lays out every source of a catalogue.
    ///
    /// # Errors
    /// When a shipped style is broken.
    pub fn of(catalog: &Catalog) -> Result<References, ToolError> {
        let layouts = LAYOUTS.as_ref().map_err(|e| ToolError::Bug(e.clone()))?;
        let plain: Vec<Item> = catalog.sources.rows().iter().map(|s| item(s, None)).collect();
        let bare = cited(layouts, &plain);
        let letters = letters(catalog.sources.rows(), &bare);
        let items: Vec<Item> = catalog.sources.rows().iter().zip(&letters).map(|(s, l)| item(s, *l)).collect();
        let labels = cited(layouts, &items);
        let lines = [Citing::AuthorDate, Citing::Numbered].map(|layout| items.iter().map(|i| line(layouts, layout, i)).collect());
        let numbers = numbers(catalog, &labels);
        Ok(References { layouts, items, letters, labels, lines, numbers })
    }

    /// Author and year, with its letter where two would read alike.
    pub fn label(&self, source: Idx<Source>) -> &str {
        self.labels.get(source.row()).map_or("", String::as_str)
    }

    /// The number of a numbered list: the place among all sources by author and year, so that it is the same on every page.
    pub fn number(&self, source: Idx<Source>) -> usize {
        self.numbers.get(source.row()).copied().unwrap_or_default()
    }

    /// The whole reference in one line; the number of a numbered list stands outside it.
    pub fn line(&self, layout: Citing, source: Idx<Source>) -> &str {
        let lines = match layout {
            Citing::AuthorDate => &self.lines[0],
            Citing::Numbered => &self.lines[1],
        };
        lines.get(source.row()).map_or("", String::as_str)
    }

    /// Author, year and place in the source, as `Lu and others 2022, table 2`.
    pub fn cited_at(&self, source: Idx<Source>, at: Option<&str>) -> String {
        let Some(item) = self.items.get(source.row()) else { return String::new() };
        let locator = at.map(|at| SpecificLocator(Locator::Custom, LocatorPayload::Str(at)));
        let one = CitationItem::with_locator(item, locator);
        let mut driver = BibliographyDriver::new();
        driver.citation(CitationRequest::from_items(vec![one], &self.layouts.dated, &self.layouts.terms));
        let rendered = driver.finish(BibliographyRequest::new(&self.layouts.dated, None, &self.layouts.terms));
        rendered.citations.first().map(|c| plain(&c.citation)).unwrap_or_default()
    }

    /// The letter after the year.
    pub fn letter(&self, source: Idx<Source>) -> Option<char> {
        self.letters.get(source.row()).copied().flatten()
    }
}

fn numbers(catalog: &Catalog, labels: &[String]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..labels.len()).collect();
    let id = |row: &usize| catalog.sources.rows().get(*row).map(|s| s.head.id.value.to_string());
    order.sort_by_cached_key(|row| (labels.get(*row).map(|l| super::search::fold(l)), id(row)));
    let mut out = vec![0; labels.len()];
    for (i, row) in order.into_iter().enumerate() {
        if let Some(place) = out.get_mut(row) {
            *place = i + 1;
        }
    }
    out
}

/// Sources that author and year alone do not tell apart, in the order of the catalogue.
///
/// # Errors
/// When a shipped style is broken.
pub fn alike(catalog: &Catalog) -> Result<Alike<'_>, ToolError> {
    let layouts = LAYOUTS.as_ref().map_err(|e| ToolError::Bug(e.clone()))?;
    let items: Vec<Item> = catalog.sources.rows().iter().map(|s| item(s, None)).collect();
    let mut groups: BTreeMap<String, Vec<(Idx<Source>, &Source)>> = BTreeMap::new();
    for (label, row) in cited(layouts, &items).into_iter().zip(catalog.sources.iter()) {
        groups.entry(label).or_default().push(row);
    }
    groups.retain(|_, rows| rows.len() > 1);
    Ok(groups.into_iter().collect())
}

/// The letter that an author gave; of sources that read alike without one, the next free letter, in the
/// order of date, title and id.
fn letters(sources: &[Source], bare: &[String]) -> Vec<Option<char>> {
    let mut groups: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (row, label) in bare.iter().enumerate() {
        groups.entry(label).or_default().push(row);
    }
    let written = |row: &usize| sources.get(*row).and_then(|s| s.bibliography.letter.as_ref()).map(|l| l.value);
    let mut letters: Vec<Option<char>> = (0..sources.len()).map(|row| written(&row)).collect();
    for rows in groups.values_mut().filter(|rows| rows.len() > 1) {
        let taken: Vec<char> = rows.iter().filter_map(written).collect();
        rows.retain(|row| written(row).is_none());
        rows.sort_by_key(|row| {
            sources.get(*row).map(|s| {
                let b = &s.bibliography;
                (b.issued.as_ref().map(|i| i.value), &b.title.value, &s.head.id.value)
            })
        });
        for (row, letter) in rows.iter().zip(('a'..='z').filter(|l| !taken.contains(l))) {
            if let Some(place) = letters.get_mut(*row) {
                *place = Some(letter);
            }
        }
    }
    letters
}

/// The item for the processor.
fn item(source: &Source, letter: Option<char>) -> Item {
    let mut value = csl::item(&source.head.id.value, &source.bibliography);
    if let Value::Object(fields) = &mut value {
        fields.remove("year-suffix");
        if let Some(letter) = letter {
            fields.insert("annote".into(), letter.to_string().into());
        }
        for key in ["author", "editor"] {
            fields.get_mut(key).and_then(Value::as_array_mut).into_iter().flatten().for_each(spread_initials);
        }
    }
    serde_json::from_value(value).unwrap_or_else(|_| Item(BTreeMap::new()))
}

/// Indexes print initials without a space between; the processor would take `JA` for one name.
fn spread_initials(person: &mut Value) {
    let Some(Value::String(given)) = person.get_mut("given") else { return };
    if given.chars().count() <= 4 && given.chars().all(char::is_uppercase) {
        *given = given.chars().map(String::from).collect::<Vec<_>>().join(" ");
    }
}

/// Author and year of each item.
fn cited(layouts: &Layouts, items: &[Item]) -> Vec<String> {
    let one = |item| {
        let mut driver = BibliographyDriver::new();
        driver.citation(CitationRequest::from_items(vec![CitationItem::with_entry(item)], &layouts.dated, &layouts.terms));
        let rendered = driver.finish(BibliographyRequest::new(&layouts.dated, None, &layouts.terms));
        rendered.citations.first().map(|c| plain(&c.citation)).unwrap_or_default()
    };
    items.iter().map(one).collect()
}

/// The reference of one item. The processor sets the full stop of a style also after a title that ends with a mark
/// of its own; it goes here, at the title alone, since in a DOI the same two characters would be right.
fn line(layouts: &Layouts, layout: Citing, item: &Item) -> String {
    let style = match layout {
        Citing::AuthorDate => &layouts.dated,
        Citing::Numbered => &layouts.numbered,
    };
    let mut driver = BibliographyDriver::new();
    driver.citation(CitationRequest::from_items(vec![CitationItem::with_entry(item)], style, &layouts.terms));
    let list = driver.finish(BibliographyRequest::new(style, None, &layouts.terms)).bibliography;
    let mut line = list.and_then(|l| l.items.first().map(|i| plain(&i.content))).unwrap_or_default();
    for title in ["title", "container-title"].into_iter().filter_map(|key| item.0.get(key)?.to_str()) {
        if title.ends_with(['?', '!', '…']) {
            line = line.replacen(&format!("{title}."), &title, 1);
        }
    }
    line
}

fn plain(content: &ElemChildren) -> String {
    let mut out = String::new();
    // Writing to a text cannot fail.
    let _ = content.write_buf(&mut out, BufWriteFormat::Plain);
    out.trim().to_string()
}

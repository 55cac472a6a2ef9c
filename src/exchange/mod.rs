//! Sources to and from the forms in which reference managers and indexes hand them on.
//!
//! What is read becomes source documents whose judgements (design, what was seen) stay open for a person;
//! nothing is made up. What is written comes from the items of `plan::csl`. Each form says what it cannot
//! carry.

pub mod bibtex;
pub mod csl;
mod document;
pub mod ris;

pub use document::{document, id_for};

use crate::model::docs::{Form, PublicationType};
use crate::model::identifier::{Identifier, Scheme};
use std::collections::BTreeMap;
use std::path::Path;

/// Largest file that is read: tens of thousands of entries.
pub const MAX_BYTES: u64 = 8 * 1024 * 1024;
/// Deepest nesting of braces or brackets that is read.
pub const MAX_DEPTH: usize = 64;

/// An entry as it was read.
#[derive(Debug, Default)]
pub struct Incoming {
    /// Line on which it starts.
    pub line: usize,
    /// Its key in the file; empty if it has none.
    pub key: String,
    /// Kind of publication.
    pub kind: Option<PublicationType>,
    /// Texts by the key of a source.
    pub text: BTreeMap<&'static str, String>,
    /// Authors.
    pub author: People,
    /// Editors.
    pub editor: People,
    /// Fields that no key of a source holds.
    pub original: Vec<(String, String)>,
    /// What a person should know: what was dropped, changed or is wrong.
    pub said: Vec<String>,
}

/// A list of names: for each the keys of a name with their texts.
#[derive(Debug, Default, Clone, PartialEq, Eq)]
pub struct People {
    /// Those who are named.
    pub named: Vec<Vec<(&'static str, String)>>,
    /// True if the list goes on.
    pub others: bool,
}

/// Why a file cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Broken {
    /// Line.
    pub line: usize,
    /// What is wrong there.
    pub what: String,
    /// What to do.
    pub help: String,
}

/// Keys of a source whose text is taken over as it is.
const TEXTS: [&str; 16] = [
    "title",
    "container-title",
    "volume",
    "issue",
    "page",
    "publisher",
    "publisher-place",
    "edition",
    "issued",
    "year-suffix",
    "DOI",
    "PMID",
    "PMCID",
    "ISBN",
    "ISSN",
    "URL",
];

/// The form of a file, by the end of its name, or else by how its text starts.
pub fn form_of(name: &Path, text: &str) -> Option<Form> {
    let ending = name.extension().and_then(|e| e.to_str()).map(str::to_ascii_lowercase);
    match ending.as_deref() {
        Some("bib" | "bibtex") => return Some(Form::Bibtex),
        Some("ris") => return Some(Form::Ris),
        Some("json") => return Some(Form::Csl),
        _ => {}
    }
    let start = text.trim_start_matches(['\u{feff}', ' ', '\t', '\r', '\n']);
    match start.chars().next()? {
        '[' | '{' => Some(Form::Csl),
        '@' | '%' => Some(Form::Bibtex),
        _ if start.starts_with("TY  -") => Some(Form::Ris),
        _ => None,
    }
}

/// Reads every entry of a file.
///
/// # Errors
/// When the file does not follow its form.
pub fn read(form: Form, text: &str) -> Result<Vec<Incoming>, Broken> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut all = match form {
        Form::Bibtex => bibtex::read(text),
        Form::Ris => ris::read(text),
        Form::Csl => csl::read(text),
    }?;
    all.iter_mut().for_each(settle);
    Ok(all)
}

impl Incoming {
    /// Sets a text; a second one under the same key is kept among the fields that no key holds.
    fn set(&mut self, key: &str, own: &str, value: &str) {
        let value = value.trim();
        let Some(key) = TEXTS.into_iter().find(|k| *k == key) else { return };
        if value.is_empty() {
            return;
        }
        match self.text.get(key) {
            Some(old) if old == value => {}
            Some(_) => self.keep(own, value),
            None => {
                self.text.insert(key, value.to_string());
            }
        }
    }

    fn keep(&mut self, own: &str, value: &str) {
        if value.trim().is_empty() {
            return;
        }
        match self.original.iter_mut().find(|(k, _)| k == own) {
            Some((_, old)) => *old += &format!("; {}", value.trim()),
            None => self.original.push((own.to_string(), value.trim().to_string())),
        }
    }

    fn abstract_dropped(&mut self) {
        self.said.push("the abstract was left out: its words belong to its publisher".into());
    }

    /// What makes two entries one publication.
    pub fn sameness(&self) -> Vec<(Scheme, String)> {
        let read = |scheme: Scheme| Identifier::read(scheme, self.text.get(scheme.key())?).ok();
        [Scheme::Doi, Scheme::Pmid].into_iter().filter_map(|s| Some((s, read(s)?.sameness()))).collect()
    }
}

/// Brings what every form has into one shape, and says what is missing or wrong.
fn settle(entry: &mut Incoming) {
    for text in entry.text.values_mut() {
        *text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    }
    for scheme in Scheme::OF_PUBLICATIONS {
        let Some(written) = entry.text.get(scheme.key()).cloned() else { continue };
        match Identifier::read(scheme, &written) {
            Ok(identifier) => {
                entry.text.insert(scheme.key(), identifier.plain().to_string());
            }
            Err(mistake) => entry.said.push(format!("{} `{written}` is kept as written, but {}", scheme.key(), mistake.what)),
        }
    }
    if entry.kind.is_none() {
        entry.said.push("its kind of publication is not one of ours; it became `document`".into());
    }
    for key in ["title", "issued"].into_iter().filter(|k| !entry.text.contains_key(k)) {
        entry.said.push(format!("it has no `{key}` that can be read: TODO stands there"));
    }
    if entry.author.named.is_empty() && entry.editor.named.is_empty() {
        entry.said.push("it names nobody: TODO stands under `author`".into());
    }
}

/// A date by its parts, as exact as they go.
fn date(year: &str, month: Option<u8>, day: Option<u8>) -> String {
    match (month, day) {
        (Some(m), Some(d)) => format!("{year}-{m:02}-{d:02}"),
        (Some(m), None) => format!("{year}-{m:02}"),
        _ => year.to_string(),
    }
}

/// Line of a byte.
fn line_of(text: &str, at: usize) -> usize {
    text.bytes().take(at).filter(|b| *b == b'\n').count() + 1
}

/// The first place where nesting goes deeper than allowed.
fn too_deep(text: &str, open: u8, close: u8) -> Option<Broken> {
    let mut depth = 0_usize;
    for (at, byte) in text.bytes().enumerate() {
        if byte == open {
            depth += 1;
        } else if byte == close {
            depth = depth.saturating_sub(1);
        }
        if depth > MAX_DEPTH {
            let what = format!("nested deeper than {MAX_DEPTH} levels");
            return Some(Broken { line: line_of(text, at), what, help: "mend the brackets of this entry, or take it out".into() });
        }
    }
    None
}

//! Which names exist: every file is a name, whether its document could be decoded or not.

use crate::finding::{Finding, Level};
use crate::load::{Loaded, LoadedFile};
use crate::model::{DocRef, Kind};
use crate::source::Span;
use std::collections::BTreeMap;

struct Entry {
    /// `None` if the document could not be decoded.
    doc: Option<DocRef>,
    at: Span,
}

/// What a name leads to.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Lookup {
    /// A document.
    Found(DocRef),
    /// A document that could not be decoded; already reported.
    Broken,
    /// Nothing.
    Unknown,
}

/// All names by kind.
pub struct Names {
    entries: BTreeMap<(Kind, Box<str>), Entry>,
    /// Document of each file, by file number.
    pub by_file: Vec<Option<DocRef>>,
}

impl Names {
    /// Collects names and reports ids that differ from their file or stand twice.
    pub fn build(loaded: &Loaded, findings: &mut Vec<Finding>) -> Self {
        let by_file = super::rows(&loaded.files);
        let mut names = Names { entries: BTreeMap::new(), by_file };
        for (i, file) in loaded.files.iter().enumerate() {
            let Some(kind) = file.kind.filter(|_| file.stands) else { continue };
            let doc = names.by_file[i];
            if kind != Kind::Pack {
                names.add(kind, &file.stem, doc, id_span(file), loaded, findings);
            }
            if let Some(id) = written_id(file) {
                if kind == Kind::Pack {
                    names.add(kind, id, doc, id_span(file), loaded, findings);
                } else if id != file.stem {
                    findings.push(mismatch(file, id));
                    names.entries.entry((kind, id.into())).or_insert(Entry { doc, at: id_span(file) });
                }
            }
        }
        names
    }

    fn add(&mut self, kind: Kind, id: &str, doc: Option<DocRef>, at: Span, loaded: &Loaded, findings: &mut Vec<Finding>) {
        if let Some(first) = self.entries.get(&(kind, Box::from(id))) {
            let mut finding = Finding::new(
                "id-matches-file",
                Level::Error,
                at,
                "used again here",
                format!("there are two documents {}/{id}", kind.word()),
            );
            finding
                .also(first.at, "first used here")
                .help("ids are unique over all packs that are compiled together; rename one file and its id");
            findings.push(finding);
            return;
        }
        if !well_formed(id) {
            let message = format!("`{id}` is not a legal id (file {})", loaded.map.path(at.file));
            let mut finding = Finding::new("id-matches-file", Level::Error, at, "", message);
            finding.help("lower-case letters, digits and single hyphens");
            findings.push(finding);
        }
        self.entries.insert((kind, id.into()), Entry { doc, at });
    }

    /// Looks a name up.
    pub fn get(&self, kind: Kind, id: &str) -> Lookup {
        match self.entries.get(&(kind, Box::from(id))) {
            None => Lookup::Unknown,
            Some(Entry { doc: None, .. }) => Lookup::Broken,
            Some(Entry { doc: Some(doc), .. }) => Lookup::Found(*doc),
        }
    }

    /// All names of a kind.
    pub fn of(&self, kind: Kind) -> impl Iterator<Item = &str> {
        self.entries.keys().filter(move |(k, _)| *k == kind).map(|(_, id)| &**id)
    }

    /// Documents by name.
    pub fn documents(&self) -> BTreeMap<(Kind, Box<str>), DocRef> {
        self.entries.iter().filter_map(|(key, e)| e.doc.map(|d| (key.clone(), d))).collect()
    }
}

fn written_id(file: &LoadedFile) -> Option<&str> {
    file.tree.as_ref()?.get("id")?.text()
}

fn id_span(file: &LoadedFile) -> Span {
    let node = file.tree.as_ref().and_then(|t| t.get("id"));
    node.map_or(Span::new(file.file, 0, 0), |n| n.span)
}

fn mismatch(file: &LoadedFile, id: &str) -> Finding {
    let message = format!("the id `{id}` differs from the file name `{}`", file.stem);
    let mut finding = Finding::new("id-matches-file", Level::Error, id_span(file), "the id", message);
    finding.note("Links and addresses go by name.").help(format!("write `id: {}`, or rename the file", file.stem));
    finding
}

fn well_formed(id: &str) -> bool {
    !id.is_empty()
        && id.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
        && !id.starts_with('-')
        && !id.ends_with('-')
        && !id.contains("--")
}

//! From documents full of names to one immutable catalogue.
//!
//! Every reference is resolved once. What cannot be resolved is reported here, once, and is `None`
//! from then on; later stages skip it in silence.

mod markdown;
mod names;
mod refs;
mod wording;

use crate::finding::Finding;
use crate::load::decode::Document;
use crate::load::{Loaded, LoadedFile};
use crate::model::{Catalog, DocRef, Kind, Table};
use std::collections::{BTreeMap, BTreeSet};

/// Links what was loaded. `None` if a pack file could not be read: without it nothing else can be
/// judged.
pub fn link(loaded: &mut Loaded) -> (Option<Catalog>, Vec<Finding>) {
    let mut findings = Vec::new();
    let names = names::Names::build(loaded, &mut findings);
    let mut documents = Vec::new();
    let unread: BTreeSet<Kind> = loaded.files.iter().filter(|f| f.stands && f.document.is_none()).filter_map(|f| f.kind).collect();
    for file in &mut loaded.files {
        if let Some(document) = file.document.take() {
            documents.push(document);
        }
    }
    let packs = documents.iter().filter(|d| matches!(d, Document::Pack(_))).count();
    if packs != loaded.packs {
        return (None, findings);
    }
    let named_well = findings.len();
    let results = results_of_sources(&documents);
    let mut resolver = refs::Resolver::new(&names, &results);
    let mut catalog = sort_into_tables(documents, &mut resolver);
    findings.append(&mut resolver.findings);
    catalog.ledgers = loaded.files.iter_mut().filter_map(|f| f.ledger.take()).collect();
    catalog.kept = std::mem::take(&mut loaded.kept);
    catalog.backrefs = resolver.backrefs;
    catalog.cites = resolver.cites;
    catalog.by_name = names.documents();
    catalog.wordings = wording::collect(loaded, &names);
    markdown::resolve(&mut catalog, &names, &mut findings);
    catalog.backrefs.sort_unstable();
    catalog.complete = unread.is_empty() && findings.len() == named_well;
    catalog.unread = unread;
    (Some(catalog), findings)
}

/// Short names of the results of each source.
fn results_of_sources(documents: &[Document]) -> BTreeMap<Box<str>, Vec<Box<str>>> {
    let source = |d: &Document| match d {
        Document::Source(s) => Some((s.head.id.value.clone(), s.results.iter().map(|r| r.id.value.clone()).collect())),
        _ => None,
    };
    documents.iter().filter_map(source).collect()
}

/// Row of each decoded document, counted by kind in order of files.
fn rows(files: &[LoadedFile]) -> Vec<Option<DocRef>> {
    let mut next = std::collections::BTreeMap::<Kind, u32>::new();
    files
        .iter()
        .map(|file| {
            let kind = file.kind?;
            file.document.as_ref()?;
            let row = next.entry(kind).or_default();
            let doc = DocRef { kind, row: *row };
            *row += 1;
            Some(doc)
        })
        .collect()
}

macro_rules! tables {
    ($documents:expr, $resolver:expr, $($variant:ident => $field:ident),+ $(,)?) => {{
        $(let mut $field = Vec::new();)+
        for document in $documents {
            match document {
                $(Document::$variant(mut doc) => {
                    let row = u32::try_from($field.len()).unwrap_or(u32::MAX);
                    $resolver.from = DocRef { kind: Kind::$variant, row };
                    refs::Links::each(&mut *doc, $resolver);
                    $field.push(*doc);
                })+
            }
        }
        Catalog { $($field: Table::new($field),)+ ..Catalog::default() }
    }};
}

fn sort_into_tables(documents: Vec<Document>, resolver: &mut refs::Resolver<'_>) -> Catalog {
    tables!(documents, resolver,
        Pack => packs, Audit => audits, Change => changes, Condition => conditions, Flag => flags, Measure => measures, Muscle => muscles, Outcome => outcomes,
        Page => pages, Population => populations, Position => positions, Protocol => protocols, Question => questions, Session => sessions, Source => sources, Technique => techniques)
}

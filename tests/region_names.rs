//! The list of regions against an open vocabulary of anatomy. The table and its source, version and
//! licence stand in `tests/reference/regions`.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

mod common;
use common::root;
use fascicle::model::region::{Region, regions};
use std::collections::{BTreeMap, BTreeSet};

/// Words for one thing, ours and the vocabulary's, that share no beginning.
const SAME: &[(&str, &str)] = &[("behind", "retroauricular")];

/// Words too common to show that two names mean one place.
const EMPTY: &[&str] = &["regio", "region", "part", "pars", "area", "the", "and", "its", "side", "inner", "outer"];

/// How many letters two words must share from the start, so that `orbitalis` meets `orbital`.
const BEGINNING: usize = 5;

#[derive(serde::Deserialize)]
struct Table {
    regions: Vec<Row>,
}

#[derive(serde::Deserialize)]
struct Row {
    id: String,
    term: String,
    name: String,
    relation: String,
    synonym: Option<String>,
    seen: String,
}

fn table() -> Vec<Row> {
    let text = std::fs::read_to_string(root().join("tests/reference/regions/vocabulary.json")).unwrap();
    serde_json::from_str::<Table>(&text).unwrap().regions
}

fn words(text: &str) -> BTreeSet<String> {
    let words = text.split(|c: char| !c.is_alphabetic()).map(str::to_lowercase);
    words.filter(|w| w.len() >= 3 && !EMPTY.contains(&w.as_str())).collect()
}

fn akin(ours: &str, theirs: &str) -> bool {
    let common = ours.chars().zip(theirs.chars()).take_while(|(a, b)| a == b).count();
    ours == theirs || common >= BEGINNING || SAME.contains(&(ours, theirs))
}

/// True if a content word of the plain or the Latin name stands in the name or synonym of the row.
fn names_meet(region: &Region, row: &Row) -> bool {
    let ours = words(&format!("{} {} {}", region.id, region.name, region.latin));
    let theirs = words(&format!("{} {}", row.name, row.synonym.as_deref().unwrap_or_default()));
    ours.iter().any(|o| theirs.iter().any(|t| akin(o, t)))
}

#[test]
fn every_region_has_one_row_and_no_row_is_of_an_unknown_region() {
    let rows = table();
    let ids: BTreeSet<&str> = rows.iter().map(|r| r.id.as_str()).collect();
    assert_eq!(ids.len(), rows.len(), "a region has two rows");
    let list = regions();
    let missing: Vec<&str> = list.ids().map(|id| list.get(id).id.as_str()).filter(|id| !ids.contains(id)).collect();
    assert!(missing.is_empty(), "regions without a row: {missing:?}");
    let unknown: Vec<&&str> = ids.iter().filter(|id| list.find(id).is_none()).collect();
    assert!(unknown.is_empty(), "rows of unknown regions: {unknown:?}");
}

#[test]
fn terms_are_well_formed_and_an_exact_term_stands_for_one_region() {
    let mut exact: BTreeMap<String, String> = BTreeMap::new();
    for row in table() {
        let digits = row.term.strip_prefix("UBERON:").unwrap_or_default();
        assert!(digits.len() == 7 && digits.bytes().all(|b| b.is_ascii_digit()), "{}: {}", row.id, row.term);
        assert!(!row.name.trim().is_empty() && row.seen.starts_with("label"), "{}: the name was not seen", row.id);
        assert!(["exact", "broader", "narrower", "close"].contains(&row.relation.as_str()), "{}: {}", row.id, row.relation);
        if row.relation == "exact"
            && let Some(other) = exact.insert(row.term, row.id.clone())
        {
            panic!("{} and {other} have the same exact term", row.id);
        }
    }
    assert!(exact.len() >= 20, "only {} exact terms", exact.len());
}

#[test]
fn one_term_has_one_name() {
    let mut names: BTreeMap<String, String> = BTreeMap::new();
    for row in table() {
        let first = names.entry(row.term.clone()).or_insert_with(|| row.name.clone());
        assert_eq!(*first, row.name, "{}", row.term);
    }
}

#[test]
fn an_exact_term_shares_a_word_with_our_name() {
    let list = regions();
    let rows = table();
    for row in rows.iter().filter(|r| r.relation == "exact") {
        let region = list.get(list.find(&row.id).unwrap());
        assert!(names_meet(region, row), "{}: \"{}\" shares no word with \"{}\"", row.id, row.name, region.name);
    }
    let [heel, temple] = ["heel", "temple"].map(|id| rows.iter().find(|r| r.id == id).unwrap());
    assert!(!names_meet(list.get(list.find("heel").unwrap()), temple) && !names_meet(list.get(list.find("temple").unwrap()), heel));
}

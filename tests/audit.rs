//! The reviewer's dossier: rows keep their ids, draws repeat, the table reads back, and from every number of a
//! protocol page a source or a stated basis is two links away.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

mod common;

use fascicle::build::{Judged, build, judge};
use fascicle::compute::dossier::{Row, RowKind};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::process::{Command, Output};

const DEMO: &str = "packs/millrace-course";
const BASE: &str = "tests/checks/base";

fn judged(pack: &Path) -> Judged {
    judge(&[pack.to_path_buf()], common::TODAY).unwrap()
}

fn rows(pack: &Path) -> BTreeMap<String, String> {
    judged(pack).facts.dossier.rows.iter().map(|r: &Row| (r.id.clone(), r.mark.clone())).collect()
}

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fascicle")).args(arguments).env("FASCICLE_CACHE", "").current_dir(common::root()).output().unwrap()
}

/// Each table of RFC 4180 as records of fields.
fn read(text: &str) -> Vec<Vec<String>> {
    let (mut records, mut fields, mut field, mut quoted) = (Vec::new(), Vec::new(), String::new(), false);
    let mut chars = text.strip_prefix('\u{feff}').expect("begins with a byte order mark").chars().peekable();
    while let Some(c) = chars.next() {
        match c {
            '"' if quoted && chars.peek() == Some(&'"') => field.push(chars.next().unwrap()),
            '"' => quoted = !quoted,
            ',' if !quoted => fields.push(std::mem::take(&mut field)),
            '\r' if !quoted => {
                assert_eq!(chars.next(), Some('\n'));
                fields.push(std::mem::take(&mut field));
                records.push(std::mem::take(&mut fields));
            }
            c => field.push(c),
        }
    }
    assert!(!quoted && field.is_empty() && fields.is_empty(), "the last record is ended");
    records
}

#[test]
fn ids_and_marks_survive_new_indenting_and_another_order() {
    let base = rows(&common::root().join("tests/checks/base"));
    assert!(base.len() > 60, "{}", base.len());
    let dir = tempfile::tempdir().unwrap();
    common::copy(&common::root().join("tests/checks/base"), dir.path()).unwrap();
    for entry in walkdir::WalkDir::new(dir.path()).into_iter().filter_map(Result::ok) {
        if entry.path().extension().is_some_and(|x| x == "yaml") {
            // Every column doubles; what follows a dash stands two columns behind it.
            let wider = |line: &str| {
                let bare = line.trim_start();
                let item = bare.strip_prefix("- ").map(|rest| format!("-   {rest}"));
                format!("{}{}\n", " ".repeat(2 * (line.len() - bare.len())), item.unwrap_or_else(|| bare.to_string()))
            };
            let text: String = std::fs::read_to_string(entry.path()).unwrap().lines().map(wider).collect();
            std::fs::write(entry.path(), format!("# A note.\n\n{text}")).unwrap();
        }
    }
    let technique = dir.path().join("techniques/sustained-pressure.yaml");
    let text = std::fs::read_to_string(&technique).unwrap();
    let mut lines: Vec<&str> = text.lines().collect();
    let first = lines.iter().position(|l| l.trim_start().starts_with("hold:")).unwrap();
    lines.swap(first, first + 3);
    std::fs::write(&technique, lines.join("\n") + "\n").unwrap();
    assert_eq!(rows(dir.path()), base);
}

#[test]
fn a_changed_value_keeps_the_id_and_changes_the_mark() {
    let base = rows(&common::root().join("tests/checks/base"));
    let dir = tempfile::tempdir().unwrap();
    common::copy(&common::root().join("tests/checks/base"), dir.path()).unwrap();
    common::apply(dir.path(), "techniques/sustained-pressure.yaml\n-   rest: {allowed: 10-30 s\n+   rest: {allowed: 10-40 s\n").unwrap();
    let changed = rows(dir.path());
    assert_eq!(changed.keys().collect::<Vec<_>>(), base.keys().collect::<Vec<_>>());
    let other: Vec<&String> = base.iter().filter(|(id, mark)| changed[*id] != **mark).map(|(id, _)| id).collect();
    assert_eq!(other.len(), 1, "{other:?}");
}

#[test]
fn the_table_reads_back_row_by_row() {
    let judged = judged(&common::root().join(DEMO));
    let output = run(&["audit", DEMO, "--format", "csv", "--today", "2026-12-01"]);
    assert_eq!(output.status.code(), Some(0));
    let records = read(std::str::from_utf8(&output.stdout).unwrap());
    assert!(records.iter().all(|r| r.len() == records[0].len()));
    let ids: BTreeSet<&str> = records[1..].iter().map(|r| r[0].as_str()).collect();
    assert_eq!(ids.len(), judged.facts.dossier.rows.len(), "every row once");
    for (record, row) in records[1..].iter().zip(&judged.facts.dossier.rows) {
        let bare = |field: &str| field.strip_prefix('\'').unwrap_or(field).to_string();
        assert_eq!((record[0].as_str(), bare(&record[11])), (row.id.as_str(), row.value.replace('\u{a0}', " ")));
        assert!(record.iter().all(|f| !f.trim_start_matches(' ').starts_with(['=', '+', '-', '@', '\t', '\r'])), "{record:?}");
        let file = std::fs::read_to_string(common::root().join(DEMO).join(&record[7])).unwrap();
        assert!(record[8].parse::<usize>().unwrap() <= file.lines().count(), "{record:?}");
    }
}

#[test]
fn a_draw_is_the_same_in_both_forms_and_needs_a_seed() {
    let csv = run(&["audit", BASE, "--format", "csv", "--sample", "5", "--seed", "may"]);
    let again = run(&["audit", BASE, "--format", "csv", "--sample", "5", "--seed", "may"]);
    assert_eq!(csv.stdout, again.stdout);
    let ids: Vec<String> = read(std::str::from_utf8(&csv.stdout).unwrap())[1..].iter().map(|r| r[0].clone()).collect();
    assert_eq!(ids.len(), 5);
    let json = run(&["audit", BASE, "--format", "json", "--sample", "5", "--seed", "may"]);
    let json: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
    let same: Vec<&str> = json["rows"].as_array().unwrap().iter().map(|r| r["row"].as_str().unwrap()).collect();
    assert_eq!(same, ids);
    assert_eq!((json["version"].as_u64(), json["draw"]["support"].as_str()), (Some(1), Some("to be read")));
    // By arithmetic: 0.05^(1/5) = 0.5493.
    assert!((json["draw"]["bound_without_error"].as_f64().unwrap() - 0.4507).abs() < 1e-4);
    assert_eq!(run(&["audit", BASE, "--sample", "9"]).status.code(), Some(2));
}

#[test]
fn the_dossier_in_a_folder_of_its_own_leads_nowhere_outside() {
    let dir = tempfile::tempdir().unwrap();
    let into = dir.path().join("out");
    assert_eq!(
        run(&["audit", "tests/checks/base", "--into", into.to_str().unwrap(), "--sample", "3", "--seed", "may"]).status.code(),
        Some(0)
    );
    let mut links = 0;
    for entry in std::fs::read_dir(&into).unwrap().map(Result::unwrap).filter(|e| e.path().extension().is_some_and(|x| x == "html")) {
        let text = std::fs::read_to_string(entry.path()).unwrap();
        for href in text.split("href=\"").skip(1).map(|t| t.split('"').next().unwrap()) {
            let file = href.split(['#', '?']).next().unwrap();
            assert!(file.is_empty() || file.starts_with("data:") || into.join(file).is_file(), "{}: {href}", entry.path().display());
            links += 1;
        }
    }
    assert!(links > 100, "{links}");
    assert!(std::fs::read_to_string(into.join("sample.html")).unwrap().contains("3 rows to be read, seed may"));
}

/// Texts of the elements that open with `open`, markup taken out.
fn texts<'a>(html: &'a str, open: &str) -> Vec<&'a str> {
    html.split(open).skip(1).filter_map(|t| t.split('<').next()).filter(|t| t.bytes().any(|b| b.is_ascii_digit())).collect()
}

/// Row ids to which a piece of a page links.
fn linked(html: &str) -> Vec<String> {
    html.split("audit/")
        .skip(1)
        .filter_map(|t| t.split_once("#r-"))
        .filter(|(f, _)| Path::new(f).extension().is_some_and(|e| e == "html") && !f.contains('"'))
        .map(|(_, t)| t.split('"').next().unwrap().to_string())
        .collect()
}

fn between<'a>(html: &'a str, from: &str, to: &str) -> &'a str {
    let rest = html.split_once(from).map_or("", |(_, r)| r);
    rest.split_once(to).map_or(rest, |(part, _)| part)
}

/// Every red flag and every line of a caution leads to its own row, which holds its numbers or the rows behind them.
fn stop_signs(id: &str, page: &str, grounded: &mut impl FnMut(&str) -> String) {
    let flags: Vec<&str> = page.split("<article class=\"flag\"").skip(1).map(|t| t.split("</article>").next().unwrap()).collect();
    assert!(!flags.is_empty(), "{id}");
    for flag in flags {
        assert_eq!(linked(flag).len(), 1, "{id}: {flag}");
        linked(flag).iter().for_each(|r| drop(grounded(r)));
    }
    let lines = page.split("<ul class=\"rows\">").skip(1).flat_map(|t| t.split("</ul>").next().unwrap().split("<li>").skip(1));
    let mut limits = 0;
    for line in lines {
        assert_eq!(linked(line).len(), 1, "{id}: {line}");
        let row = plain(&grounded(&linked(line)[0]));
        let amounts = line.split_once("</strong>, ").map_or("", |(_, t)| t.split(" – ").next().unwrap().split('(').next().unwrap());
        let last = amounts.split(' ').rfind(|w| w.bytes().any(|b| b.is_ascii_digit()));
        assert!(last.is_none_or(|n| row.contains(n)), "{id}: no {last:?} in {row}");
        limits += usize::from(last.is_some());
    }
    assert!(limits > 0, "{id}: no caution of these protocols sets a number");
}

/// Under a heading of its own that the list of contents leads to.
fn each_caution_stands_under_its_protocol<'r>(rows: impl Iterator<Item = &'r Row>, page: &str) {
    let mut count = 0;
    for row in rows {
        let id = format!("<tr id=\"r-{}\">", row.id);
        let before = page.split_once(&id).expect("a row of every caution").0;
        let heading = before.rsplit_once("<h3 id=\"").unwrap().1;
        let anchor = heading.split('"').next().unwrap();
        assert!(page.contains(&format!("<a href=\"#{anchor}\">")), "{anchor}");
        let named = page.split_once(&id).unwrap().1.split_once("protocol/").unwrap().1.split(',').next().unwrap();
        assert_eq!(anchor, format!("derived-{named}"));
        count += 1;
    }
    assert!(count > 100);
}

#[test]
fn from_every_number_of_three_protocol_pages_its_ground_is_two_links_away() {
    let mut judged = judged(&common::root().join(DEMO));
    let dir = tempfile::tempdir().unwrap();
    let site = build(&mut judged, &dir.path().join("site"), None, common::TODAY).unwrap();
    let pages: BTreeMap<&str, &str> = site.files().iter().map(|b| (b.path.as_str(), b.text())).collect();
    let audit: String = pages.iter().filter(|(p, _)| p.starts_with("audit/")).map(|(_, t)| *t).collect();
    each_caution_stands_under_its_protocol(judged.facts.dossier.of(RowKind::Caution), pages["audit/cautions.html"]);
    let dossier = dossier(&common::root().join(DEMO));
    let (mut tried, mut silences) = (0, BTreeSet::new());
    // The second link: from the row to a source page, or the row says on what else it stands.
    let mut grounded = |id: &str| -> String {
        let row = between(&audit, &format!("<tr id=\"r-{id}\">"), "</tr>").to_string();
        let sources: Vec<&str> = row.split("../sources/").skip(1).map(|t| t.split('"').next().unwrap()).collect();
        assert!(sources.iter().all(|s| pages.contains_key(format!("sources/{s}").as_str())), "{row}");
        let silent = row.contains("nothing stated");
        assert!(!sources.is_empty() || row.contains("Basis: ") || silent, "row {id} leads on to nothing: {row}");
        let own = dossier.row(id).unwrap();
        let cites = dossier.cites(own);
        let found = cites.iter().any(|c| c.at.is_some()) || !dossier.bases(own).is_empty();
        assert!(found || silent, "row {id} says neither where in its source nor on what basis: {row}");
        // What a row says of its place in a source can be read on the page.
        for at in cites.iter().filter_map(|c| c.at.as_ref()) {
            assert!(plain(&row).contains(&format!(", {}", at.value)), "row {id}: {} in {row}", at.value);
        }
        silences.extend(silent.then(|| own.path.clone()));
        tried += 1;
        row
    };
    for id in ["soleus", "hamstrings", "upper-trapezius"] {
        let page = pages[format!("protocols/{id}.html").as_str()];
        stop_signs(id, page, &mut grounded);
        let steps: Vec<&str> = between(page, "<ol class=\"steps\">", "<h3 id=\"time\">").split("<li class=\"step\"").skip(1).collect();
        let home: Vec<&str> = page.split("<article class=\"home-item\">").skip(1).map(|t| t.split("</article>").next().unwrap()).collect();
        assert!(steps.len() > 5 && !home.is_empty());
        for part in steps.iter().chain(&home) {
            let rows: Vec<String> = linked(part).iter().map(|r| grounded(r)).collect();
            for value in texts(part, "<span class=\"value\">") {
                assert!(rows.iter().any(|r| r.contains(value)), "{id}: no row for {value} in {part}");
            }
            assert!(texts(part, "class=\"num\">").is_empty() || !rows.is_empty(), "{id}: a number without a row in {part}");
        }
        for row in between(page, "<table class=\"ledger\">", "</table>").split("<tr>").skip(2) {
            assert_eq!(linked(row).len(), 1, "{id}: {row}");
            linked(row).iter().for_each(|r| drop(grounded(r)));
        }
        let rest: Vec<String> = linked(between(page, "<h3 id=\"numbers\">", "<h3 id=\"sources\">")).iter().map(|r| grounded(r)).collect();
        let retest = between(page, "<h2 id=\"re-test\">", "<h2 id=\"after-care\">");
        assert!(!retest.contains("class=\"num\"") || rest.iter().any(|r| r.contains("/errors/") || r.contains("errors/")), "{id}: re-test");
        let spacing = between(between(page, "Spacing and course", "</dl>"), "<dt>How often</dt><dd>", "</dd>");
        assert!(rest.iter().any(|r| r.contains(spacing)), "{id}: {spacing}");
    }
    assert!(tried > 100, "{tried}");
    // Facts about a person, not about care: nothing can carry them.
    assert!(silences.iter().all(|path| path == "population/ages"), "{silences:?}");
}

/// Text of a piece of a page as it is read.
fn plain(html: &str) -> String {
    let text: String = html.split('<').map(|t| t.split_once('>').map_or(t, |(_, text)| text)).collect();
    [("&quot;", "\""), ("&#x27;", "'"), ("&lt;", "<"), ("&gt;", ">"), ("&amp;", "&")].iter().fold(text, |t, (from, to)| t.replace(from, to))
}

fn dossier(pack: &Path) -> fascicle::compute::dossier::Dossier {
    judged(pack).facts.dossier
}

#[test]
fn every_condition_and_stressor_has_a_cell_and_every_protocol_its_flags() {
    let judged = judged(&common::root().join(DEMO));
    let catalog = judged.catalog.as_ref().unwrap();
    let matrix = fascicle::compute::dossier::matrix::matrix(catalog, &judged.facts);
    let pairs: usize = catalog.conditions.rows().iter().map(|c| c.together.len()).sum();
    assert_eq!(matrix.len(), catalog.conditions.len() + pairs);
    assert!(matrix.iter().all(|r| r.cells.len() == fascicle::model::vocabulary::Stressor::ALL.len()));
    let flags: usize = judged.facts.protocols.iter().map(|p| p.flags.flags.len()).sum();
    assert_eq!(judged.facts.dossier.of(RowKind::Flag).count(), flags);
}

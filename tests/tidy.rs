//! What the project promises about its own shape: every check has its page and its fixtures, modules
//! know only the stages before them, files and functions stay short, schemas and decoder agree.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

use fascicle::checks::{self, Check, Run};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

mod common;
use common::root;

/// Headings of a page of explanation, in order.
const HEADINGS: [&str; 5] = ["## What it finds", "## Why it matters", "## Example", "## Instead", "## When to allow it"];

/// Checks on output that have no folder in tests/checks_output, with the test program that names and
/// covers them, as `("site-link-broken", "write.rs")`.
const COVERED_ELSEWHERE: &[(&str, &str)] = &[
    ("address-taken", "checks_output.rs"),
    ("build-not-repeatable", "checks_output.rs"),
    ("card-identity-missing", "checks_output.rs"),
    ("card-letter-missing", "cards_pdf.rs"),
    ("card-overflow", "checks_output.rs"),
    ("card-page-values-differ", "checks_output.rs"),
    ("card-type-too-small", "checks_output.rs"),
    ("card-superseded", "sign_off.rs"),
    ("caution-missing-from-output", "checks_output.rs"),
    ("contrast-too-low", "checks_output.rs"),
    ("flag-not-first", "checks_output.rs"),
    ("heading-order", "checks_output.rs"),
    ("keyboard-trap", "checks_output.rs"),
    ("notice-missing", "checks_output.rs"),
    ("outside-request", "checks_output.rs"),
    ("override-hidden-in-output", "checks_output.rs"),
    ("personal-data-kept", "checks_output.rs"),
    ("print-grey-loses-meaning", "checks_output.rs"),
    ("site-link-broken", "checks_output.rs"),
    ("target-too-small", "checks_output.rs"),
    ("text-alternative-missing", "checks_output.rs"),
];

/// Which module may use which. `plan`, `write` and `export` may not exist yet.
const MAY_USE: &[(&str, &[&str])] = &[
    ("source", &[]),
    ("error", &[]),
    ("finding", &["source"]),
    ("model", &["source"]),
    ("chart", &["model"]),
    ("load", &["source", "finding", "model", "chart", "error"]),
    ("link", &["source", "finding", "model", "load"]),
    ("compute", &["source", "model", "chart"]),
    ("checks", &["source", "finding", "model", "chart", "compute", "plan", "render"]),
    ("plan", &["source", "finding", "model", "chart", "compute", "error"]),
    ("render", &["plan", "load", "model", "error"]),
    ("export", &["source", "finding", "model", "chart", "compute", "plan", "error"]),
    ("exchange", &["source", "model", "load", "plan", "error"]),
    ("write", &["plan", "render", "error"]),
    ("pdf", &["plan", "error"]),
    ("press", &["source", "finding", "model", "compute", "checks", "plan", "pdf", "render", "write", "build", "error"]),
    ("report", &["source", "finding", "model", "checks"]),
    ("keep", &["model", "compute", "write"]),
    ("sign", &["model", "compute", "build", "write", "error", "source"]),
    ("calc", &["source", "finding", "model", "load", "compute"]),
    ("build", &["source", "finding", "model", "load", "link", "compute", "checks", "plan", "render", "export", "write", "report", "error"]),
    (
        "cli",
        &[
            "source", "finding", "model", "load", "link", "compute", "checks", "plan", "render", "export", "write", "report", "build",
            "calc", "keep", "chart", "exchange", "sign", "press", "error",
        ],
    ),
];

/// One file that may reach further: the list of regions is data that ships with the tool and is read
/// with the reader of packs, so that a slip in it is shown like a slip in a pack.
const MAY_REACH: &[(&str, &str)] = &[("model/region.rs", "load::yaml")];

/// Files longer than allowed, with the most lines they may have. The list may only shrink.
const LONG_FILES: &[(&str, usize)] = &[];

/// Most lines of a file and of a function.
const FILE_LINES: usize = 600;
const FUNCTION_LINES: usize = 80;

fn files(folder: &str, ending: &str) -> Vec<(String, PathBuf)> {
    let base = root().join(folder);
    let walk = walkdir::WalkDir::new(&base).sort_by_file_name();
    walk.into_iter()
        .filter_map(Result::ok)
        .filter(|e| e.file_type().is_file() && e.path().extension().is_some_and(|x| x == ending))
        .filter_map(|e| Some((e.path().strip_prefix(&base).ok()?.to_string_lossy().replace('\\', "/"), e.path().to_path_buf())))
        .collect()
}

fn sources() -> Vec<(String, String)> {
    files("src", "rs").into_iter().map(|(name, path)| (name, read(&path))).collect()
}

fn read(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

/// Code without its unit tests.
fn code(text: &str) -> &str {
    text.split("#[cfg(test)]").next().unwrap_or(text)
}

fn none(wrong: &[String]) {
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

fn on_output(check: &Check) -> bool {
    matches!(check.run, Run::Output(_) | Run::WhileWriting | Run::WhenAsked)
}

#[test]
fn every_check_file_is_registered_under_its_own_name() {
    let mut wrong = Vec::new();
    for (file, text) in sources().iter().filter(|(f, t)| f.starts_with("checks/") && code(t).contains("pub static CHECK: Check")) {
        let stem = Path::new(file).file_stem().expect("has a stem").to_string_lossy().into_owned();
        let name = stem.replace('_', "-");
        if !text.contains(&format!("name: \"{name}\"")) {
            wrong.push(format!("src/{file}: the name of the check should be `{name}`"));
        }
        if checks::named(&name).is_none() {
            wrong.push(format!("src/{file}: add `mod {stem};` and `&{stem}::CHECK,` to the mod.rs beside it"));
        }
        if !text.contains(&format!("include_str!(\"{stem}.md\")")) {
            wrong.push(format!("src/{file}: the page should be {stem}.md beside it"));
        }
    }
    none(&wrong);
}

#[test]
fn names_of_checks_are_kebab_case_and_unique() {
    let mut seen = BTreeSet::new();
    for check in checks::all() {
        let words = check.name.split('-').all(|w| !w.is_empty() && w.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit()));
        assert!(words, "{} is not kebab-case", check.name);
        assert!(seen.insert(check.name), "{} stands twice", check.name);
        let line = check.summary;
        assert!(
            !line.ends_with('.') && !line.contains('\n') && line.len() < 100,
            "{}: the summary is one short line, no full stop",
            check.name
        );
    }
}

#[test]
fn every_page_has_its_headings_in_order() {
    let mut wrong = Vec::new();
    for check in checks::all() {
        let headings: Vec<&str> = check.page.lines().filter(|l| l.starts_with("# ") || l.starts_with("## ")).collect();
        let first = format!("# {}", check.name);
        // A `#` in an example is a comment of YAML.
        let own: Vec<&str> = headings.into_iter().filter(|h| h.starts_with("## ") || *h == first).collect();
        if own.first() != Some(&&*first) || own.get(1..) != Some(&HEADINGS[..]) || !check.page.starts_with(&first) {
            wrong.push(format!("{}: the headings of the page are {own:?}", check.name));
        }
        if check.page.split("\n## ").any(|part| part.lines().skip(1).all(|l| l.trim().is_empty()) && !part.starts_with("# ")) {
            wrong.push(format!("{}: a part of the page is empty", check.name));
        }
    }
    for (file, path) in files("src/checks", "md") {
        if !path.with_extension("rs").is_file() {
            wrong.push(format!("src/checks/{file} belongs to no check"));
        }
    }
    none(&wrong);
}

#[test]
fn every_check_has_its_fixtures() {
    let mut wrong = Vec::new();
    for check in checks::all() {
        let folder = root().join("tests/checks").join(check.name);
        let output = root().join("tests/checks_output").join(check.name);
        if on_output(check) {
            let names_it = |file: &str| read(&root().join("tests").join(file)).contains(check.name);
            if !output.is_dir() && !COVERED_ELSEWHERE.iter().any(|(n, file)| *n == check.name && names_it(file)) {
                wrong.push(format!("{}: add tests/checks_output/{0}, or name the test that covers it", check.name));
            }
            continue;
        }
        for part in ["fires", "silent", "report.txt"] {
            if !folder.join(part).exists() {
                wrong.push(format!("tests/checks/{}/{part} is missing", check.name));
            }
        }
    }
    let folders = std::fs::read_dir(root().join("tests/checks")).expect("tests/checks is there");
    for name in folders.filter_map(Result::ok).map(|e| e.file_name().to_string_lossy().into_owned()) {
        if name != "base" && checks::named(&name).is_none() {
            wrong.push(format!("tests/checks/{name} belongs to no check"));
        }
    }
    none(&wrong);
}

/// Names in `Finding::new("…")`, `report("…")`, `=> ("…"` and `"…", Level::`.
fn names_used(text: &str) -> Vec<String> {
    let mut names = Vec::new();
    for (i, _) in text.match_indices('"') {
        let Some(name) = text[i + 1..].split('"').next() else { continue };
        let kebab = name.contains('-') && name.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-');
        let before = text[..i].trim_end();
        let after = text[i + 1 + name.len()..].strip_prefix("\",").unwrap_or("").trim_start();
        let made = ["Finding::new(", "report(", "=> ("].iter().any(|b| before.ends_with(b)) || after.starts_with("Level::");
        if kebab && made {
            names.push(name.to_string());
        }
    }
    names
}

#[test]
fn every_finding_belongs_to_a_registered_check() {
    let mut wrong = Vec::new();
    let mut seen = BTreeSet::new();
    for (file, text) in sources() {
        for name in names_used(code(&text)) {
            if checks::named(&name).is_none() {
                wrong.push(format!("src/{file}: `{name}` is no registered check"));
            }
            seen.insert(name);
        }
    }
    none(&wrong);
    for check in checks::all().iter().filter(|c| matches!(c.run, Run::WhileLoading | Run::WhileLinking | Run::WhileAllowing)) {
        assert!(seen.contains(check.name), "nothing reports `{}`", check.name);
    }
}

#[test]
fn files_are_short_and_say_what_they_are_for() {
    let mut wrong = Vec::new();
    for (file, text) in sources() {
        let most = LONG_FILES.iter().find(|(f, _)| *f == file).map_or(FILE_LINES, |(_, n)| *n);
        let lines = text.lines().count();
        if lines > most {
            wrong.push(format!("src/{file} has {lines} lines, the most is {most}: split it"));
        }
        if !text.starts_with("//! ") {
            wrong.push(format!("src/{file} should start with a `//!` line that says what it is for"));
        }
    }
    for (file, _) in LONG_FILES {
        let lines = read(&root().join("src").join(file)).lines().count();
        if lines <= FILE_LINES {
            wrong.push(format!("src/{file} is short now: take it off the list"));
        }
    }
    none(&wrong);
}

#[test]
fn functions_fit_on_a_screen() {
    let mut wrong = Vec::new();
    for (file, text) in sources() {
        let lines: Vec<&str> = text.lines().collect();
        for (start, line) in lines.iter().enumerate() {
            let word = line.trim_start();
            let is_fn =
                ["fn ", "pub fn ", "pub(super) fn ", "pub(crate) fn ", "const fn ", "pub const fn "].iter().any(|p| word.starts_with(p));
            if !is_fn || line.ends_with(';') || line.ends_with('}') {
                continue;
            }
            // The formatter puts the closing brace under the first letter.
            let close = format!("{}}}", &line[..line.len() - word.len()]);
            let length = lines[start..].iter().position(|l| *l == close).map_or(0, |n| n + 1);
            if length > FUNCTION_LINES {
                wrong.push(format!("src/{file}:{}: a function of {length} lines, the most is {FUNCTION_LINES}", start + 1));
            }
        }
    }
    none(&wrong);
}

#[test]
fn spans_are_not_lost_in_decoding() {
    for (file, text) in sources() {
        for line in text.lines().filter(|l| l.trim_start().starts_with("#[serde(")) {
            assert!(!["flatten", "untagged", "tag ="].iter().any(|w| line.contains(w)), "src/{file}: {line} loses the places of values");
        }
    }
}

/// Paths after `use crate::`, groups taken apart at their first level.
fn uses(text: &str) -> Vec<String> {
    let mut out = Vec::new();
    for (i, _) in text.match_indices("use crate::") {
        let rest = &text[i + "use crate::".len()..];
        let path = rest.split(';').next().unwrap_or("");
        match path.strip_prefix('{') {
            Some(group) => {
                let mut depth = 0;
                let level = |c: char| {
                    depth += i32::from(c == '{') - i32::from(c == '}');
                    c == ',' && depth == 0
                };
                out.extend(group.trim_end_matches('}').split(level).map(|p| p.trim().to_string()).filter(|p| !p.is_empty()));
            }
            None => out.push(path.to_string()),
        }
    }
    out
}

#[test]
fn modules_know_only_the_stages_before_them() {
    let mut wrong = Vec::new();
    for (file, text) in sources() {
        let module = file.split('/').next().unwrap_or(&file).trim_end_matches(".rs");
        if matches!(module, "lib" | "main") {
            continue;
        }
        let Some((_, allowed)) = MAY_USE.iter().find(|(m, _)| *m == module) else {
            wrong.push(format!("src/{file}: add the module `{module}` to the table in tests/tidy.rs"));
            continue;
        };
        for path in uses(code(&text)) {
            let other = path.split("::").next().unwrap_or(&path);
            let reaches = MAY_REACH.iter().any(|(f, p)| *f == file && path.starts_with(p));
            if other != module && !allowed.contains(&other) && !reaches {
                wrong.push(format!("src/{file} uses `{path}`: `{module}` may use {allowed:?}"));
            }
        }
    }
    none(&wrong);
}

fn properties(schema: &serde_json::Value, out: &mut BTreeSet<String>) {
    match schema {
        serde_json::Value::Object(entries) => {
            for (key, value) in entries {
                if let ("properties", serde_json::Value::Object(own)) = (&**key, value) {
                    out.extend(own.keys().cloned());
                }
                properties(value, out);
            }
        }
        serde_json::Value::Array(items) => items.iter().for_each(|i| properties(i, out)),
        _ => {}
    }
}

#[test]
fn every_property_of_a_schema_is_read() {
    let readers = ["src/load/decode", "src/calc"];
    let decoder: String = readers.iter().flat_map(|folder| files(folder, "rs")).map(|(_, path)| read(&path)).collect();
    let decoder = decoder + &read(&root().join("src/load/approvals.rs"));
    let mut wrong = Vec::new();
    for (file, text) in fascicle::load::schema::files() {
        let schema: serde_json::Value = serde_json::from_str(text).expect("a schema is JSON");
        let mut names = BTreeSet::new();
        properties(&schema, &mut names);
        // Rows of a condition are read by the words of the vocabulary.
        names.retain(|n| fascicle::model::vocabulary::Stressor::from_word(n).is_none());
        // A key of a worksheet is read in both its forms by its exact one; its version is fixed by the schema.
        let plain: BTreeSet<String> = names.iter().filter_map(|n| fascicle::calc::plain_key(n)).map(String::from).collect();
        names.retain(|n| file != "worksheet.json" || (!plain.contains(n) && n != "worksheet"));
        wrong.extend(
            names.iter().filter(|n| !decoder.contains(&format!("\"{n}\""))).map(|n| format!("schemas/{file}: nothing reads `{n}`")),
        );
    }
    none(&wrong);
}

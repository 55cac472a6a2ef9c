//! References and their exchange: what pages print, what comes in, what goes out, and that it comes back.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

use fascicle::exchange::{self, Incoming, bibtex, csl, ris};
use fascicle::load::decode::{self, Document};
use fascicle::model::docs::{Bibliography, Form, Pack, Source};
use fascicle::model::vocabulary::Citing;
use fascicle::model::{Idx, Kind};
use fascicle::plan::references::References;
use fascicle::source::FileId;
use proptest::prelude::*;
use serde_json::Value;
use std::collections::BTreeSet;
use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::sync::LazyLock;

mod common;
use common::{TODAY, apply, copy, root};

/// The pack of the fixtures, to which every document here belongs.
fn pack() -> Idx<Pack> {
    static PACK: LazyLock<Idx<Pack>> = LazyLock::new(|| {
        let mut loaded = fascicle::load::load(&[root().join("tests/checks/base")]).unwrap();
        let (catalog, _) = fascicle::link::link(&mut loaded);
        catalog.unwrap().packs.iter().next().unwrap().0
    });
    *PACK
}

/// A source document read as the tool reads it, without a pack around it.
fn source(text: &str) -> Source {
    let parsed = fascicle::load::yaml::parse(FileId(0), text);
    assert!(parsed.findings.is_empty(), "{:?}\n{text}", parsed.findings);
    let mut reader = decode::Reader::new(FileId(0), text);
    let document = decode::document(Kind::Source, pack(), &mut reader, &parsed.root.unwrap()).unwrap();
    assert!(reader.findings.is_empty(), "{:?}\n{text}", reader.findings);
    let Document::Source(source) = document else { panic!("a source") };
    *source
}

/// Invented works of every kind that a form treats in its own way.
fn invented() -> Vec<Source> {
    let texts = [
        "id: one-2020\ntitle: \"Plain & simple: 50 % of #1 {braces} \\\\ ~tilde_ $5 ^up\"\ntype: article-journal\nauthor: [{family: One, given: A B}, {family: Two, given: Cäcilie, non-dropping-particle: van, suffix: Jr}]\nissued: 2020-03\ncontainer-title: Journal of Invention\nvolume: \"12\"\nissue: \"3\"\npage: 100-109\nDOI: 10.5555/one_2020(a)<b>\nPMID: \"12345678\"\nPMCID: PMC123456\nISSN: 0378-5955\nURL: https://example.org/a_b?c=d%20e&f#g\n",
        "id: body-1999\ntitle: Report of a body\ntype: report\nauthor: [{literal: House of Invention and Sons}]\nissued: 1999\npublisher: Inventors' Press\npublisher-place: Nowhere\nyear-suffix: b\n",
        "id: three-2001\ntitle: A chapter\ntype: chapter\nauthor: [{family: Three Names, given: D}, {literal: others}]\neditor: [{family: Four, given: E, ORCID: 0000-0002-1694-233X}]\nissued: 2001-12-31\ncontainer-title: A book of inventions\npublisher: Press\npublisher-place: Town\nedition: \"2\"\npage: \"7\"\nISBN: 978-3-16-148410-0\n",
        "id: five-2010\ntitle: A thesis\ntype: thesis\nauthor: [{family: de Five, given: F.-G.}, {family: Mononym}, {family: Under, non-dropping-particle: van}, {literal: \"House, of one--two\"}, {literal: Onebody}]\nissued: 2010\npublisher: University\n",
        "id: six-2011\ntitle: Preprint\ntype: article\nauthor: [{family: Six, given: A}]\nissued: 2011\noriginal: {form: csl, fields: {\"language\": en, \"collection-number\": \"4\", \"accessed\": '{\"date-parts\":[[2012,1,2]]}'}}\n",
    ];
    let kinds = ["book", "dataset", "document", "paper-conference", "software", "standard", "webpage"];
    let plain = kinds.iter().enumerate().map(|(i, kind)| {
        format!("id: kind-{i}\ntitle: Of a kind\ntype: {kind}\nauthor: [{{family: Kind, given: K}}]\nissued: 19{i}0\ncontainer-title: Somewhere\n")
    });
    texts.into_iter().map(String::from).chain(plain).map(|t| source(&t)).collect()
}

fn demo() -> Vec<Source> {
    let folder = root().join("packs/millrace-course/sources");
    let mut files: Vec<_> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    files.sort();
    files.iter().map(|f| source(&std::fs::read_to_string(f).unwrap())).collect()
}

fn each(sources: &[Source]) -> impl Iterator<Item = (&str, &Bibliography)> {
    sources.iter().map(|s| (&*s.head.id.value, &s.bibliography))
}

fn written(form: Form, sources: &[Source]) -> String {
    match form {
        Form::Bibtex => bibtex::write(each(sources)),
        Form::Ris => ris::write(each(sources)),
        Form::Csl => csl::write(each(sources)),
    }
}

/// The item of a source, without what `lost` says that a form cannot carry.
fn item(s: &Source, form: Form) -> Value {
    let mut item = fascicle::plan::csl::item("id", &s.bibliography);
    let fields = item.as_object_mut().unwrap();
    for role in ["author", "editor"] {
        for name in fields.get_mut(role).and_then(Value::as_array_mut).into_iter().flatten().filter_map(Value::as_object_mut) {
            name.remove("ORCID");
            for text in name.values_mut().filter(|_| form == Form::Ris) {
                *text = text.as_str().unwrap().replace(',', "").into();
            }
            let particle = name.remove("non-dropping-particle");
            match (form, particle) {
                (Form::Ris, Some(particle)) => {
                    let family = format!("{} {}", particle.as_str().unwrap(), name["family"].as_str().unwrap());
                    name["family"] = family.into();
                }
                (_, Some(particle)) => {
                    name.insert("non-dropping-particle".into(), particle);
                }
                _ => {}
            }
        }
    }
    if form != Form::Csl {
        fields.remove("year-suffix");
    }
    if form == Form::Ris {
        fields.remove("PMID");
    }
    if form == Form::Bibtex
        && let Some(parts) = fields.get_mut("issued").and_then(|i| i["date-parts"][0].as_array_mut())
    {
        parts.truncate(2);
    }
    sorted(item)
}

/// Keys in one order, so that texts compare.
fn sorted(value: Value) -> Value {
    match value {
        Value::Object(fields) => {
            let mut all: Vec<_> = fields.into_iter().map(|(k, v)| (k, sorted(v))).collect();
            all.sort_by(|a, b| a.0.cmp(&b.0));
            Value::Object(all.into_iter().collect())
        }
        Value::Array(items) => Value::Array(items.into_iter().map(sorted).collect()),
        other => other,
    }
}

#[test]
fn what_goes_out_comes_back_except_for_what_is_said() {
    for form in [Form::Csl, Form::Bibtex, Form::Ris] {
        let sources: Vec<Source> = invented().into_iter().chain(demo()).collect();
        let text = written(form, &sources);
        let entries = exchange::read(form, &text).unwrap();
        assert_eq!(entries.len(), sources.len(), "{form:?}\n{text}");
        for (sent, back) in sources.iter().zip(&entries) {
            assert_eq!(back.key, &*sent.head.id.value);
            let document = exchange::document("id", back, form).unwrap();
            let returned = source(&document);
            assert_eq!(item(&returned, form), item(sent, form), "{form:?}\n{document}");
        }
    }
}

#[test]
fn fields_that_no_key_holds_go_out_again_in_their_own_form() {
    let text = r#"[{"id": "x", "type": "speech", "title": "T", "author": [{"family": "F"}], "issued": {"date-parts": [["2001", 2]]},
        "genre": "lecture", "accessed": {"date-parts": [[2020, 1, 2]]}, "volume": 3, "abstract": "Long words."}]"#;
    let entries = exchange::read(Form::Csl, text).unwrap();
    let said = entries[0].said.join("\n");
    assert!(said.contains("abstract was left out") && said.contains("`document`"), "{said}");
    let back = source(&exchange::document("f-2001", &entries[0], Form::Csl).unwrap());
    let out: Value = serde_json::from_str(&csl::write(each(std::slice::from_ref(&back)))).unwrap();
    assert_eq!(out[0]["type"], "speech");
    assert_eq!(out[0]["genre"], "lecture");
    assert_eq!(out[0]["accessed"]["date-parts"][0][2], 2);
    assert_eq!(out[0]["volume"], "3");
    assert_eq!(out[0]["issued"]["date-parts"][0], serde_json::json!([2001, 2]));
    assert!(out[0].get("abstract").is_none());
}

#[test]
fn csl_json_follows_the_published_form() {
    let schema: Value =
        serde_json::from_str(&std::fs::read_to_string(root().join("tests/reference/csl/csl-json-1.0.json")).unwrap()).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let sources: Vec<Source> = invented().into_iter().chain(demo()).collect();
    let out: Value = serde_json::from_str(&written(Form::Csl, &sources)).unwrap();
    let wrong: Vec<String> = validator.iter_errors(&out).map(|e| format!("{} {e}", e.instance_path())).collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
    let mut bent = out.clone();
    bent[0]["author"][0]["ORCID"] = "0000-0002-1694-233X".into();
    assert!(!validator.is_valid(&bent), "the form is strict about names");
}

#[test]
fn no_text_breaks_out_of_its_field() {
    let evil = "}, note = {x}} @article{b, title = {\\input{secret} %$#&_^~ \\\\ \"quoted\" \nER  - \nTY  - JOUR\nTI  - second";
    let mut one = invented().swap_remove(0);
    one.bibliography.title.value = evil.into();
    one.bibliography.identifiers.clear();
    let flat = evil.split_whitespace().collect::<Vec<_>>().join(" ");
    for form in [Form::Csl, Form::Bibtex, Form::Ris] {
        let text = written(form, std::slice::from_ref(&one));
        let back = exchange::read(form, &text).unwrap_or_else(|e| panic!("{form:?} {e:?}\n{text}"));
        assert_eq!(back.len(), 1, "{form:?}\n{text}");
        assert_eq!(back[0].text["title"], flat, "{form:?}\n{text}");
        if form == Form::Bibtex {
            assert!(!text.contains("\\input") && text.contains("\\textbackslash{}input"), "{text}");
        }
    }
}

#[test]
fn what_is_read_is_never_made_up() {
    let text = "@article{Lu2022,\n  author = {Lu, Wei and {Group of Inventors} and others},\n  title = {A {CT} trial of M\\\"uller's method},\n  journal = {Journal},\n  year = 2022, month = mar, pages = {1--9},\n  doi = {10.5555/x.},\n  keywords = {a, b},\n  abstract = {Words.}\n}\n";
    let entries = exchange::read(Form::Bibtex, text).unwrap();
    let entry = &entries[0];
    assert_eq!(exchange::id_for(entry, &BTreeSet::new()), "lu-2022");
    assert_eq!(exchange::id_for(entry, &BTreeSet::from(["lu-2022".into()])), "lu-2022b");
    let document = exchange::document("lu-2022", entry, Form::Bibtex).unwrap();
    for line in [
        "title: \"A CT trial of Müller's method\"",
        "  - {family: \"Lu\", given: \"Wei\"}",
        "  - {literal: \"Group of Inventors\"}",
        "  - {literal: others}",
        "issued: \"2022-03\"",
        "page: \"1-9\"",
        "DOI: \"10.5555/x.\"",
        "design: TODO",
        "seen: {status: TODO, what: TODO}",
        "retraction: {status: not looked up}",
        "    \"keywords\": \"a, b\"",
    ] {
        assert!(document.lines().any(|l| l == line), "{line}\n{document}");
    }
    assert!(!document.contains("Words."));
    assert!(entry.said.iter().any(|s| s.contains("ends with `.`")), "{:?}", entry.said);
}

#[test]
fn ris_of_many_makers_is_understood() {
    let text = "\u{feff}TY  - JOUR\r\nA1  - Lu, Wei\r\nAU  - Six, A., Jr\r\nT1  - Title over\r\n two lines\r\nJF  - Journal\r\nJO  - J\r\nPY  - 2022/03/15/\r\nSP  - 1\r\nEP  - 9\r\nSN  - 0378-5955\r\nC2  - 77\r\nKW  - one\r\nKW  - two\r\nN2  - Abstract.\r\nER  - \r\n\r\nTY  - ODD\r\nTI  - Untitled\r\nER  -\r\n";
    let entries = exchange::read(Form::Ris, text).unwrap();
    let document = exchange::document("x", &entries[0], Form::Ris).unwrap();
    for line in [
        "title: \"Title over two lines\"",
        "issued: \"2022-03-15\"",
        "container-title: \"Journal\"",
        "page: \"1-9\"",
        "ISSN: \"0378-5955\"",
        "  - {family: \"Six\", given: \"A.\", suffix: \"Jr\"}",
        "    \"JO\": \"J\"",
        "    \"KW\": \"one; two\"",
        "    \"C2\": \"77\"",
    ] {
        assert!(document.lines().any(|l| l == line), "{line}\n{document}");
    }
    let said = entries[1].said.join("\n");
    for part in ["`document`", "`issued`", "names nobody"] {
        assert!(said.contains(part), "{said}");
    }
    assert_eq!(entries[1].line, 18);
}

#[test]
fn broken_files_name_the_line() {
    let deep = format!("@article{{x, title = {}a{}}}", "{".repeat(70), "}".repeat(70));
    let cases = [
        (Form::Bibtex, "@article{a, title = {x},\n year = 2020}\n\n@article{b, title = {never ends", 4),
        (Form::Bibtex, "no entries here", 1),
        (Form::Bibtex, "@article{a, title={x}}\n@article{a, title={y}}", 2),
        (Form::Bibtex, &deep, 1),
        (Form::Ris, "TY  - JOUR\nTI  - x\nTY  - BOOK\n", 3),
        (Form::Ris, "TY  - JOUR\nTI  - x\n", 1),
        (Form::Ris, "\nTI  - x\n", 2),
        (Form::Ris, "words\n", 1),
        (Form::Csl, "[{\"id\": \"a\",\n \"type\" \"book\"}]", 2),
        (Form::Csl, "\"words\"", 1),
        (Form::Csl, "[1]", 1),
    ];
    for (form, text, line) in cases {
        let broken = exchange::read(form, text).expect_err(text);
        assert_eq!(broken.line, line, "{text}: {broken:?}");
        assert!(!broken.what.is_empty() && !broken.help.is_empty());
    }
    let nested = format!("[{}1{}]", "[".repeat(100), "]".repeat(100));
    assert!(exchange::read(Form::Csl, &nested).unwrap_err().what.contains("deeper than 64"));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn no_file_breaks_a_reader(text in "[@A-Z0-9{}=,\"\\\\\\[\\]: \r\n\t#%~-]{0,120}") {
        for form in [Form::Csl, Form::Bibtex, Form::Ris] {
            for entry in exchange::read(form, &text).unwrap_or_default() {
                let id = exchange::id_for(&entry, &BTreeSet::new());
                let document = exchange::document(&id, &entry, form).unwrap();
                prop_assert!(fascicle::load::yaml::parse(FileId(0), &document).findings.is_empty(), "{}", document);
            }
        }
    }

    #[test]
    fn texts_of_any_kind_survive_ris_and_bibtex(title in "[^\\p{C}\\p{Z}][\\PC]{0,40}", family in "[a-zA-Zéøß'-]{1,12}", given in "[A-Z][a-z.]{0,6}") {
        let mut one = invented().swap_remove(0);
        one.bibliography.title.value = title.clone().into();
        let names = format!("id: x\ntitle: t\ntype: book\nauthor: [{{family: \"{family}\", given: \"{given}\"}}]\nissued: 2000\n");
        one.bibliography.author = source(&names).bibliography.author;
        let flat = title.split_whitespace().collect::<Vec<_>>().join(" ");
        for form in [Form::Csl, Form::Bibtex, Form::Ris] {
            let text = written(form, std::slice::from_ref(&one));
            let back: Vec<Incoming> = exchange::read(form, &text).map_err(|e| TestCaseError::fail(format!("{form:?} {e:?}\n{text}")))?;
            prop_assert_eq!(back.len(), 1);
            prop_assert_eq!(&back[0].text["title"], &flat, "{:?}\n{}", form, text);
            prop_assert_eq!(&back[0].author.named, &vec![vec![("family", family.clone()), ("given", given.clone())]], "{}", text);
        }
    }
}

/// The base pack with these sources added, laid out.
fn laid_out(sources: &[(&str, &str)]) -> (tempfile::TempDir, Vec<[String; 3]>) {
    let dir = tempfile::tempdir().unwrap();
    copy(&root().join("tests/checks/base"), dir.path()).unwrap();
    let rest = "design: narrative\nseen: {status: from memory, what: Invented.}\nretraction: {status: not looked up}\n";
    for (id, text) in sources {
        std::fs::write(dir.path().join(format!("sources/{id}.yaml")), format!("id: {id}\n{text}{rest}")).unwrap();
    }
    let judged = fascicle::build::judge(&[dir.path().to_path_buf()], TODAY).unwrap();
    let catalog = judged.catalog.as_ref().unwrap();
    let references = References::of(catalog).unwrap();
    let lines = sources
        .iter()
        .map(|(id, _)| {
            let idx = catalog.sources.iter().find(|(_, s)| *s.head.id.value == **id).unwrap_or_else(|| panic!("{id}")).0;
            [
                references.cited_at(idx, Some("table 2")),
                references.line(Citing::AuthorDate, idx).into(),
                references.line(Citing::Numbered, idx).into(),
            ]
        })
        .collect();
    (dir, lines)
}

#[test]
fn references_are_laid_out_in_both_ways() {
    let seven = "title: Many\ntype: article-journal\nauthor: [{family: A, given: AB}, {family: B, given: B}, {family: C, given: C}, {family: D, given: D}, {family: E, given: E}, {family: F, given: F}, {family: G, given: G}]\nissued: 2001-05\ncontainer-title: Journal\nvolume: \"1\"\nissue: \"2\"\npage: 3-4\nDOI: 10.5555/many\n";
    let (_dir, lines) = laid_out(&[
        ("seven", seven),
        (
            "body",
            "title: Rules of the house\ntype: report\nauthor: [{literal: House of Invention}]\nissued: 1999\npublisher: Press\npublisher-place: Town\n",
        ),
        (
            "open",
            "title: Is it so?\ntype: article-journal\nauthor: [{family: Winter, given: A F, non-dropping-particle: de}, {literal: others}]\nissued: 2004\ncontainer-title: Journal\nvolume: \"8\"\n",
        ),
        (
            "edited",
            "title: Collected\ntype: book\neditor: [{family: Ed, given: E}, {family: Itor, given: I}]\nissued: 2010\nedition: \"2\"\npublisher: Press\n",
        ),
    ]);
    let wanted = [
        [
            "A and others 2001, table 2",
            "A AB, B B, C C, D D, E E, F F and others (2001). Many. Journal, 1(2): 3–4. doi:10.5555/many.",
            "A AB, B B, C C, D D, E E, F F and others. Many. Journal. 2001; 1(2): 3–4. doi:10.5555/many.",
        ],
        [
            "House of Invention 1999, table 2",
            "House of Invention (1999). Rules of the house. Town: Press.",
            "House of Invention. Rules of the house. Town: Press. 1999.",
        ],
        [
            "de Winter and others 2004, table 2",
            "de Winter AF and others (2004). Is it so? Journal, 8.",
            "de Winter AF and others. Is it so? Journal. 2004; 8.",
        ],
        [
            "Ed and Itor 2010, table 2",
            "Ed E and Itor I (eds) (2010). Collected. 2 ed., Press.",
            "Ed E and Itor I (eds). Collected. 2 ed. Press. 2010.",
        ],
    ];
    for (found, wanted) in lines.iter().zip(wanted) {
        assert_eq!(found, &wanted.map(String::from));
    }
}

#[test]
fn letters_tell_alike_sources_apart_and_an_author_can_fix_them() {
    let twin = |title: &str, more: &str| format!("title: {title}\ntype: book\nauthor: [{{family: Twin, given: A}}]\nissued: 2020\n{more}");
    let labels = |texts: &[(&str, String)]| -> Vec<String> {
        let texts: Vec<(&str, &str)> = texts.iter().map(|(id, t)| (*id, t.as_str())).collect();
        laid_out(&texts).1.into_iter().map(|[cited, ..]| cited.replace(", table 2", "")).collect()
    };
    assert_eq!(labels(&[("t1", twin("B", "")), ("t2", twin("A", ""))]), ["Twin 2020b", "Twin 2020a"], "by title, not by id");
    assert_eq!(labels(&[("t1", twin("B", "year-suffix: a\n")), ("t2", twin("A", ""))]), ["Twin 2020a", "Twin 2020b"]);
    assert_eq!(labels(&[("t1", twin("B", ""))]), ["Twin 2020"]);
}

#[test]
fn every_source_of_the_demo_pack_reads_well() {
    let judged = fascicle::build::judge(&[root().join("packs/millrace-course")], TODAY).unwrap();
    let catalog = judged.catalog.as_ref().unwrap();
    let references = References::of(catalog).unwrap();
    for (idx, s) in catalog.sources.iter() {
        let year = s.bibliography.year().unwrap().to_string();
        assert!(references.label(idx).contains(&year), "{}", references.label(idx));
        for layout in [Citing::AuthorDate, Citing::Numbered] {
            let line = references.line(layout, idx);
            let title = s.bibliography.title.value.trim_end_matches(['?', '.']);
            assert!(line.contains(title) && line.contains(&year), "{line}");
            assert!(!line.contains("..") && !line.contains("  ") && !line.contains(" .") && line.ends_with('.'), "{line}");
        }
    }
}

fn fascicle(folder: &Path, arguments: &[&str], input: &str) -> Output {
    use std::io::Write;
    let mut command = Command::new(env!("CARGO_BIN_EXE_fascicle"));
    command.current_dir(folder).env("FASCICLE_CACHE", "").args(arguments);
    let mut child = command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let _ = child.stdin.take().unwrap().write_all(input.as_bytes());
    child.wait_with_output().unwrap()
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

const TWO: &str = "@article{a, title={One}, author={One, A}, year={2020}, doi={10.5555/one}}\n@book{b, title={Two}, author={Two, B}, year={2021}, pmid={123}}\n@article{c, title={One again}, author={One, A}, year={2020}, doi={https://doi.org/10.5555/ONE}}\n";

#[test]
fn import_prints_or_writes_new_files_and_never_over_old_ones() {
    let dir = tempfile::tempdir().unwrap();
    std::fs::write(dir.path().join("two.bib"), TWO).unwrap();
    copy(&root().join("tests/checks/base"), &dir.path().join("pack")).unwrap();
    let sources = || std::fs::read_dir(dir.path().join("pack/sources")).unwrap().count();
    let before = sources();
    let printed = fascicle(dir.path(), &["cite", "import", "two.bib"], "");
    let out = String::from_utf8_lossy(&printed.stdout).into_owned();
    assert!(out.contains("# sources/one-2020.yaml\n") && out.contains("# sources/two-2021.yaml\n") && !out.contains("One again"), "{out}");
    assert!(said(&printed).contains("two.bib:3: c: left out, its DOI is that of line 1 of this file"), "{}", said(&printed));
    assert_eq!(printed.status.code(), Some(1), "something was left out");

    let first = fascicle(dir.path(), &["cite", "import", "two.bib", "--pack", "pack"], "");
    assert!(said(&first).contains("2 sources imported, 1 left out"), "{}", said(&first));
    let path = dir.path().join("pack/sources/one-2020.yaml");
    std::fs::write(&path, std::fs::read_to_string(&path).unwrap().replace("design: TODO", "design: cohort")).unwrap();
    let again = fascicle(dir.path(), &["cite", "import", "two.bib", "--pack", "pack"], "");
    assert!(std::fs::read_to_string(&path).unwrap().contains("design: cohort"));
    for line in [
        "two.bib:1: a: left out, its DOI is that of the source one-2020\n",
        "two.bib:2: b: left out, its PMID is that of the source two-2021\n",
        "two.bib:3: c: left out, its DOI is that of the source one-2020\n",
        "0 sources imported, 3 left out\n",
    ] {
        assert!(said(&again).contains(line), "TODOs hide no twin: {line}{}", said(&again));
    }
    assert_eq!(sources(), before + 2, "{}", said(&again));
    // What a person has not filled in stops the pack.
    let check = fascicle(dir.path(), &["check", "pack"], "");
    assert_eq!(check.status.code(), Some(1));
    assert!(said(&check).contains("TODO"), "{}", said(&check));
    for id in ["one-2020", "two-2021"] {
        let path = dir.path().join(format!("pack/sources/{id}.yaml"));
        let text = std::fs::read_to_string(&path).unwrap();
        let filled = text.replace("design: TODO", "design: narrative").replace("design: cohort", "design: narrative");
        std::fs::write(&path, filled.replace("{status: TODO, what: TODO}", "{status: from memory, what: Invented.}")).unwrap();
    }
    let check = fascicle(dir.path(), &["check", "pack"], "");
    assert!(said(&check).contains(": 0 errors,"), "nothing but TODOs was in the way: {}", said(&check));
}

#[test]
fn import_reads_standard_input_and_says_what_it_cannot_read() {
    let dir = tempfile::tempdir().unwrap();
    let ris = "TY  - BOOK\nTI  - T\nAU  - A, B\nPY  - 2000\nER  - \n";
    let read = fascicle(dir.path(), &["cite", "import", "-"], ris);
    assert_eq!(read.status.code(), Some(0), "{}", said(&read));
    assert!(String::from_utf8_lossy(&read.stdout).contains("title: \"T\""));
    let unknown = fascicle(dir.path(), &["cite", "import", "-"], "words");
    assert_eq!(unknown.status.code(), Some(2));
    assert!(said(&unknown).contains("--form"), "{}", said(&unknown));
    let broken = fascicle(dir.path(), &["cite", "import", "-", "--form", "ris"], "TY  - BOOK\nTI  - T\n");
    assert_eq!(broken.status.code(), Some(2));
    assert!(said(&broken).contains("standard input:1: the entry that starts here does not end"), "{}", said(&broken));
    let no_pack = fascicle(dir.path(), &["cite", "import", "-", "--pack", "."], ris);
    assert!(said(&no_pack).contains("holds no pack.yaml"), "{}", said(&no_pack));
}

#[test]
fn export_writes_each_form_and_says_what_stays_behind() {
    let dir = tempfile::tempdir().unwrap();
    copy(&root().join("tests/checks/base"), &dir.path().join("pack")).unwrap();
    let run = |form: &str, more: &[&str]| fascicle(dir.path(), &[&["export", form, "pack", "--today", "2026-12-01"], more].concat(), "");
    for (form, start) in [("csl", "[\n"), ("bibtex", "@book{gray-1918,\n"), ("ris", "TY  - BOOK\r\nID  - gray-1918\r\n")] {
        let output = run(form, &[]);
        assert_eq!(output.status.code(), Some(0), "{}", said(&output));
        assert!(String::from_utf8_lossy(&output.stdout).starts_with(start), "{form}");
        assert!(said(&output).contains("not exported") && said(&output).contains("not in this form"), "{}", said(&output));
    }
    assert_eq!(run("csl", &["--into", "out.json"]).status.code(), Some(0));
    let before = std::fs::read(dir.path().join("out.json")).unwrap();
    assert_eq!(run("csl", &["--into", "out.json"]).status.code(), Some(2), "a file that is there stays");
    assert_eq!(std::fs::read(dir.path().join("out.json")).unwrap(), before);
    apply(&dir.path().join("pack"), "sources/gray-1918.yaml\n- design: handbook\n+ design: wrong\n").unwrap();
    let stopped = run("csl", &[]);
    assert!(stopped.status.code() == Some(1) && stopped.stdout.is_empty(), "{}", said(&stopped));
}

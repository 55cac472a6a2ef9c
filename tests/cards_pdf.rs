//! Cards as PDF, looked at with the tools of the distribution (qpdf, poppler): structure, typefaces, sizes, words.

#![cfg(feature = "pdf")]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]

mod common;

use common::{TODAY, apply, copy, root};
use fascicle::build::{Judged, judge};
use fascicle::model::docs::{Protocol, Technique};
use fascicle::model::vocabulary::Role;
use fascicle::model::{Catalog, Idx};
use fascicle::pdf::{Card, Deck, make};
use fascicle::plan::cards::Printed;
use fascicle::plan::paper::{A5, PAPERS, Paper, named};
use fascicle::plan::{fit, words};
use fascicle::press;
use std::collections::BTreeSet;
use std::path::Path;
use std::process::{Command, Output};
use std::sync::LazyLock;

static DEMO: LazyLock<Judged> = LazyLock::new(|| judge(&[root().join("packs/millrace-course")], TODAY).unwrap());

fn catalog() -> &'static Catalog {
    DEMO.catalog.as_ref().unwrap()
}

/// Runs a tool on a file and returns what it prints.
fn tool(name: &str, arguments: &[&str], file: &Path) -> String {
    let output = Command::new(name).args(arguments).arg(file).output();
    let output = output.unwrap_or_else(|e| panic!("{name}: {e}; install qpdf and poppler-utils"));
    assert!(output.status.success(), "{name} {}: {}", file.display(), String::from_utf8_lossy(&output.stderr));
    String::from_utf8_lossy(&output.stdout).into_owned()
}

/// Words alone, so that line breaks do not matter.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Words in the order in which they were set.
fn text_of(file: &Path) -> String {
    flat(&lines_of(file))
}

/// The same with its lines. Two arguments of pdftotext put the file before the dash.
fn lines_of(file: &Path) -> String {
    let out = file.with_extension("txt");
    let status = Command::new("pdftotext").args(["-raw", "-q"]).arg(file).arg(&out).status().unwrap();
    assert!(status.success());
    std::fs::read_to_string(out).unwrap()
}

fn protocols() -> impl Iterator<Item = (Idx<Protocol>, &'static str, &'static str)> {
    catalog().protocols.iter().map(|(idx, p)| (idx, &*p.head.id.value, &*p.title.value))
}

#[test]
fn cards_on_a5() {
    holds("a5");
}

#[test]
fn cards_on_a4() {
    holds("a4");
}

#[test]
fn cards_on_letter() {
    holds("letter");
}

#[test]
fn two_cards_on_a_sheet() {
    holds("2up");
}

#[test]
fn cards_for_the_wall() {
    holds("wall");
}

/// Every file of a paper is sound, and says everything that must be said.
fn holds(paper: &str) {
    let paper = named(paper).unwrap();
    let (press, findings) = press::cards(&DEMO, paper).unwrap();
    assert!(findings.is_empty(), "{findings:?}");
    let dir = tempfile::tempdir().unwrap();
    press.write(&dir.path().join("cards")).unwrap().unwrap();
    let file = |name: &str| dir.path().join("cards").join(name);
    assert_eq!(press.files().unwrap().len(), protocols().count() + catalog().sessions.iter().count() + 1);
    for built in press.files().unwrap() {
        sound(&file(&built.path), paper);
    }
    // A sign may begin a sentence.
    let all = text_of(&file(press::ALL)).to_lowercase();
    for (idx, id, title) in protocols() {
        let path = file(&format!("{id}.pdf"));
        let own = text_of(&path).to_lowercase();
        for said in must_say(idx).iter().map(|s| s.to_lowercase()) {
            assert!(own.contains(&said), "{id} on {}: {said}", paper.name);
            assert!(all.contains(&said), "{} on {}: {said}", press::ALL, paper.name);
        }
        let marks = bookmarks(&path);
        assert!(marks.iter().any(|m| m.0 == title && m.1.len() > 3), "{id}: {marks:?}");
        assert!(marks.iter().all(|m| m.0 == title), "{id}: {marks:?}");
    }
    let titles: BTreeSet<String> = bookmarks(&file(press::ALL)).into_iter().map(|m| m.0).collect();
    let sessions = catalog().sessions.iter().map(|(_, s)| s.title.value.to_string());
    assert_eq!(titles, protocols().map(|p| p.2.to_string()).chain(sessions).collect());
}

/// Valid, every typeface inside, tagged, exact sizes, a language, no author, no date, no script.
fn sound(file: &Path, paper: Paper) {
    let shown = file.display();
    let said = tool("qpdf", &["--check"], file);
    assert!(said.contains("No syntax or stream encoding errors"), "{shown}: {said}");
    let faces = tool("pdffonts", &[], file);
    let rows: Vec<Vec<&str>> = faces.lines().skip(2).map(|l| l.split_whitespace().rev().collect()).collect();
    assert!(rows.len() >= 3, "{faces}");
    // From the right: generation, object, unicode, subset, embedded.
    assert!(rows.iter().all(|r| r[2..5] == ["yes", "yes", "yes"] && r.last().unwrap().contains("+Liberation")), "{shown}: {faces}");
    let info = tool("pdfinfo", &["-f", "1", "-l", "9999"], file);
    let line = |name: &str| info.lines().find_map(|l| l.strip_prefix(name)).map(str::trim);
    assert_eq!((line("Tagged:"), line("JavaScript:"), line("Encrypted:")), (Some("yes"), Some("no"), Some("no")), "{shown}");
    assert_eq!((line("Author:"), line("CreationDate:"), line("ModDate:")), (None, None, None), "{shown}");
    assert!(line("Title:").is_some_and(|t| t.contains("edition 1.0.0")) && line("Creator:").is_some_and(|c| c.starts_with("fascicle")));
    let sizes: Vec<&str> = info.lines().filter(|l| l.starts_with("Page ") && l.contains(" size:")).collect();
    let pages: usize = line("Pages:").unwrap().parse().unwrap();
    assert_eq!(sizes.len(), pages, "{shown}");
    for size in sizes {
        let numbers: Vec<f64> = size.split_whitespace().filter_map(|w| w.parse().ok()).collect();
        let [.., width, height] = numbers[..] else { panic!("{size}") };
        let points = |mm: f64| mm / 25.4 * 72.0;
        assert!((width - points(paper.width)).abs() < 0.01 && (height - points(paper.height)).abs() < 0.01, "{shown}: {size}");
    }
    let tags = tool("pdfinfo", &["-struct"], file);
    for tag in ["H1 ", "H2 ", "P (block)", "Figure"] {
        assert!(tags.contains(tag), "{shown}: no {tag}");
    }
    // PDF/UA-1 identifies itself in its metadata (ISO 14289-1, 5).
    assert!(tool("pdfinfo", &["-meta"], file).contains("pdfuaid:part>1<"), "{shown}");
    let bytes = String::from_utf8_lossy(&std::fs::read(file).unwrap()).into_owned();
    assert!(bytes.contains("/Lang(en"), "{shown}");
    assert!(!bytes.contains("/JavaScript") && !bytes.contains("/URI") && !bytes.contains("/Launch"), "{shown}");
}

/// Titles of bookmarks, with those of their parts.
fn bookmarks(file: &Path) -> Vec<(String, Vec<String>)> {
    let json: serde_json::Value = serde_json::from_str(&tool("qpdf", &["--json", "--json-key=outlines"], file)).unwrap();
    let title = |v: &serde_json::Value| v["title"].as_str().unwrap().to_string();
    let top = json["outlines"].as_array().unwrap();
    top.iter().map(|o| (title(o), o["kids"].as_array().unwrap().iter().map(title).collect())).collect()
}

/// What no card of a protocol may lack, from what was written and derived, not from faces: questions of red flags, names
/// of conditions, doses, and the signs that stop a step that treats, tests or measures.
fn must_say(idx: Idx<Protocol>) -> BTreeSet<String> {
    let (c, p, facts) = (catalog(), &catalog().protocols[idx], DEMO.facts.of(idx));
    let mut out = BTreeSet::new();
    out.extend(facts.flags.flags.iter().map(|f| flat(&c.flags[f.flag].question.value)));
    out.extend(facts.cautions.iter().map(|x| flat(&c.conditions[x.condition].name.value)));
    let used = p.steps.iter().filter_map(|s| s.technique.to).chain(p.home.iter().filter_map(|h| h.technique.to));
    let asks = |t: &Technique| matches!(t.role, Role::Screening | Role::Consent | Role::Education);
    let rules = used.map(|t| &c.techniques[t]).filter(|t| !asks(t)).flat_map(|t| &t.stop);
    let rules = rules.chain(p.steps.iter().flat_map(|s| &s.stop)).chain(p.home.iter().flat_map(|h| &h.stop));
    for rule in rules {
        out.insert(flat(&rule.sign.value));
        out.extend(rule.act.iter().map(|a| flat(&a.value)));
    }
    let doses = p.steps.iter().map(|s| &s.dose).chain(p.home.iter().map(|h| &h.dose));
    out.extend(doses.flat_map(|d| &d.entries).map(|e| flat(&words::dose_entry(e, None).value)));
    assert!(out.len() > 30, "a protocol has more to say than {out:?}");
    out
}

fn deck<'a>(title: &str, cards: &'a [Printed]) -> Deck<'a> {
    Deck { title: title.into(), cards: cards.iter().map(|c| Card { language: &c.language, faces: &c.faces }).collect() }
}

/// A range that is broken at the end of a line is read as two numbers, or as another one.
#[test]
fn no_range_is_torn() {
    let cards = fascicle::plan::cards(catalog(), &DEMO.facts, fascicle::plan::paper::A5).unwrap();
    let made = make(&deck("All", &cards), fascicle::plan::paper::A5).unwrap();
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("all.pdf");
    std::fs::write(&file, &made.bytes).unwrap();
    let text = lines_of(&file);
    let lines: Vec<&str> = text.lines().map(str::trim).collect();
    let digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
    let mut ranges = 0;
    for pair in lines.windows(2) {
        let (line, next) = (pair[0], pair[1]);
        ranges += line.matches('–').count();
        let rest = next.trim_start_matches(|c: char| c.is_ascii_digit());
        // The number of a step, and the page at the end of its row, stand in front of a dose.
        let before_dose = line.chars().all(|c| c.is_ascii_digit()) || line.contains("some: page ");
        let half = digit(line.chars().next_back()) && rest.len() < next.len() && rest.starts_with('–');
        let torn = line.ends_with('–') || next.starts_with('–') || (half && !before_dose);
        assert!(!torn, "{line} / {next}");
    }
    assert!(ranges > 300, "{ranges}");
}

/// The estimate by which cards are dealt out never leaves less than what comes out of the typesetter.
#[test]
fn the_estimate_is_on_the_safe_side() {
    for paper in PAPERS {
        let cards = fascicle::plan::cards(catalog(), &DEMO.facts, paper).unwrap();
        let made = make(&deck("All", &cards), paper).unwrap();
        let faces: Vec<_> = cards.iter().flat_map(|c| &c.faces).collect();
        assert_eq!(faces.len(), made.spare.len());
        let mut apart = Vec::new();
        for (face, measured) in faces.iter().zip(&made.spare) {
            let estimated = fit::spare(face, paper);
            assert!(estimated <= measured + 0.05, "{} on {}: {measured:.2} mm left, estimated {estimated:.2}", face.id, paper.name);
            assert!(*measured >= 0.0 && !face.overfull, "{} on {}", face.id, paper.name);
            apart.push(measured - estimated);
        }
        // Safe, and not wasteful: on average less than a tenth of a face is left empty for safety.
        let mean = apart.iter().sum::<f64>() / f64::from(u32::try_from(apart.len()).unwrap());
        assert!(mean < paper.box_height / 10.0, "{}: {mean:.1} mm", paper.name);
    }
}

#[test]
fn the_same_cards_are_the_same_bytes_whatever_the_threads() {
    let make = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        let (press, _) = pool.install(|| press::cards(&DEMO, A5)).unwrap();
        press.files().unwrap().iter().map(|f| (f.path.clone(), f.bytes.clone())).collect::<Vec<_>>()
    };
    assert!(make(1) == make(4), "the bytes differ");
}

/// The square code that a phone reads leads to the check code that people read.
#[test]
fn the_square_code_can_be_read_from_paper() {
    let cards = fascicle::plan::cards(catalog(), &DEMO.facts, A5).unwrap();
    let dir = tempfile::tempdir().unwrap();
    for card in &cards {
        let made = make(&deck("One", std::slice::from_ref(card)), A5).unwrap();
        let file = dir.path().join("card.pdf");
        std::fs::write(&file, made.bytes).unwrap();
        let status = Command::new("pdftoppm")
            .args(["-gray", "-r", "200", "-l", "1", "-singlefile", "-q"])
            .arg(&file)
            .arg(dir.path().join("face"))
            .status();
        assert!(status.unwrap().success());
        let picture = std::fs::read(dir.path().join("face.pgm")).unwrap();
        let head: Vec<usize> =
            String::from_utf8_lossy(&picture[..20]).split_whitespace().skip(1).take(2).map(|n| n.parse().unwrap()).collect();
        let start = picture.len() - head[0] * head[1];
        let mut grey = rqrr::PreparedImage::prepare_from_greyscale(head[0], head[1], |x, y| picture[start + y * head[0] + x]);
        let grids = grey.detect_grids();
        assert_eq!(grids.len(), 1, "{}", card.faces[0].id);
        let (_, said) = grids[0].decode().unwrap();
        assert!(said.ends_with(&card.faces[0].code), "{said}");
    }
}

fn fixture(edits: &str) -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    copy(&root().join("tests/checks/base"), &dir.path().join("pack")).unwrap();
    apply(&dir.path().join("pack"), edits).unwrap();
    dir
}

fn longer(n: usize) -> String {
    let words = "Feel for the edge of the muscle. ".repeat(n);
    format!("protocols/soleus.yaml\n- success: Pain falls by 2 points under the same pressure.\n+ success: {}", words.trim_end())
}

/// `card-overflow`: measured where it was set, with the item and the millimetres.
#[test]
fn an_item_higher_than_a_face_is_told_with_its_millimetres() {
    let dir = fixture(&longer(120));
    let judged = judge(&[dir.path().join("pack")], TODAY).unwrap();
    let (press, findings) = press::cards(&judged, A5).unwrap();
    assert!(press.files().is_none());
    assert_eq!(findings.iter().map(|f| f.check).collect::<Vec<_>>(), ["card-overflow"; 2], "its card, and that of the appointment");
    let (message, notes) = (&findings[0].message, findings[0].notes.join("\n"));
    assert!(message.contains(" mm too high on a5") && message.contains("Soleus"), "{message}");
    assert!(notes.contains("the first item that does not fit") && notes.contains("6. Press point 1"), "{notes}");
    let wall = press::cards(&judged, named("a4").unwrap()).unwrap();
    assert!(wall.0.files().is_some() && wall.1.is_empty(), "an A4 face holds it: {:?}", wall.1);
}

/// `card-letter-missing`: the very letter, in the file of its author.
#[test]
fn a_letter_that_cannot_be_printed_is_told_where_it_was_written() {
    let edits = longer(1).replace("Feel", "☛ Feel");
    let dir = fixture(&edits);
    let judged = judge(&[dir.path().join("pack")], TODAY).unwrap();
    let (press, findings) = press::cards(&judged, A5).unwrap();
    assert!(press.files().is_none());
    assert_eq!(findings.iter().map(|f| f.check).collect::<Vec<_>>(), ["card-letter-missing"]);
    assert_eq!(judged.loaded.map.slice(findings[0].primary.span), "☛");
    assert!(judged.loaded.map.path(findings[0].primary.span.file).ends_with("protocols/soleus.yaml"));
}

/// Words of an author are data: what would be an instruction to the typesetter is printed as it stands.
#[test]
fn words_are_never_read_as_markup() {
    let mut cards = fascicle::plan::cards(catalog(), &DEMO.facts, A5).unwrap();
    cards.truncate(1);
    let odd = r#"#panic("x") *bold* $x^2$ = Title @ref <label> [x] \u{41} "q" -- `raw` // end"#;
    cards[0].faces[0].sections[0].items[0].lead = Some(odd.into());
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("odd.pdf");
    std::fs::write(&file, make(&deck("Odd", &cards), A5).unwrap().bytes).unwrap();
    assert!(text_of(&file).contains(odd), "{}", text_of(&file));
}

fn fascicle(folder: &Path, arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_fascicle"));
    command.current_dir(folder).env("FASCICLE_CACHE", "").args(arguments).args(["--today", "2026-12-01"]).output().unwrap()
}

fn stderr(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

#[test]
fn the_command_writes_all_or_nothing_and_only_where_it_may() {
    let dir = fixture("");
    let cards = || fascicle(dir.path(), &["cards", "pack", "--into", "cards"]);
    let first = cards();
    assert_eq!(first.status.code(), Some(0), "{}", stderr(&first));
    assert!(stderr(&first).contains("on a5 into cards") && stderr(&first).contains(words::USE_NOTE), "{}", stderr(&first));
    let bytes = || std::fs::read(dir.path().join("cards/soleus.pdf")).unwrap();
    let before = bytes();
    assert!(stderr(&cards()).contains("0 files changed"));
    // An error stops it as it stops a compile, and what stood stays.
    apply(&dir.path().join("pack"), &longer(150)).unwrap();
    let stopped = cards();
    assert_eq!(stopped.status.code(), Some(1));
    assert!(stderr(&stopped).contains("no card was written"), "{}", stderr(&stopped));
    assert_eq!(bytes(), before);
    // Neither command takes the folder of the other, and none that of somebody else.
    let site = fixture("");
    assert_eq!(fascicle(site.path(), &["compile", "pack", "--into", "site"]).status.code(), Some(0));
    assert_eq!(fascicle(site.path(), &["cards", "pack", "--into", "site"]).status.code(), Some(2));
    assert!(site.path().join("site/index.html").is_file());
    assert_eq!(fascicle(site.path(), &["cards", "pack", "--into", "cards"]).status.code(), Some(0));
    assert_eq!(fascicle(site.path(), &["compile", "pack", "--into", "cards"]).status.code(), Some(2));
    assert!(site.path().join("cards/all.pdf").is_file());
    assert_eq!(fascicle(site.path(), &["cards", "pack", "--into", "pack"]).status.code(), Some(2));
}

#[test]
fn a_card_that_nobody_signed_is_told_and_a_retired_protocol_has_none() {
    let dir = fixture("");
    let output = fascicle(dir.path(), &["cards", "pack", "--into", "cards"]);
    assert!(stderr(&output).contains("Not signed, not for use: Soleus"), "{}", stderr(&output));
    let retired = "protocols/soleus.yaml\n- id: soleus\n+ id: soleus\n+ status: retired\n+ since: 2026-11-20\n+ because: Replaced.";
    apply(&dir.path().join("pack"), retired).unwrap();
    let judged = judge(&[dir.path().join("pack")], TODAY).unwrap();
    let (press, _) = press::cards(&judged, A5).unwrap();
    assert!(press.files().unwrap().iter().all(|f| f.path != "soleus.pdf"), "the only protocol of the pack is retired");
}

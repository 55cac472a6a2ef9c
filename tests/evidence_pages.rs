//! Pages of evidence and measures: on whose word a result rests, in which unit, what was made up, and how
//! sources are cited.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

mod common;

use fascicle::build::judge;
use fascicle::render::{Templates, render};
use std::collections::BTreeMap;
use std::path::Path;

const DEMO: &str = "packs/millrace-course";

type Pages = BTreeMap<String, String>;

fn pages(pack: &Path) -> Pages {
    let judged = judge(&[pack.to_path_buf()], common::TODAY).unwrap();
    let plan = fascicle::plan::plan(judged.catalog.as_ref().unwrap(), &judged.facts).unwrap();
    let built = render(&plan, Templates::shipped()).unwrap();
    built.into_iter().filter_map(|b| Some((b.path.clone(), String::from_utf8(b.bytes).ok()?))).collect()
}

/// The demo pack with edits.
fn edited(edits: &str) -> Pages {
    let dir = tempfile::tempdir().unwrap();
    common::copy(&common::root().join(DEMO), dir.path()).unwrap();
    common::apply(dir.path(), edits).unwrap();
    pages(dir.path())
}

/// The part of a page under a heading.
fn section<'a>(page: &'a str, id: &str) -> &'a str {
    let start = page.find(&format!("aria-labelledby=\"{id}\"")).unwrap_or_else(|| panic!("no section {id}"));
    let rest = &page[start..];
    &rest[..rest.find("</section>").unwrap_or(rest.len())]
}

fn words(html: &str) -> String {
    let mut out = String::new();
    let mut inside = false;
    for c in html.chars() {
        inside = (inside || c == '<') && c != '>';
        out.push(if inside || c == '>' { ' ' } else { c });
    }
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_result_says_on_whose_word_it_rests_and_in_which_unit() {
    let pages = pages(&common::root().join(DEMO));
    let outcome = words(section(&pages["outcomes/felt-pain.html"], "results"));
    assert!(outcome.contains("better, as the source says (no numbers)"), "{outcome}");
    assert!(outcome.contains("mean difference −13.8 mm of 100 (95 % interval −25.0 to −2.6) pain at that moment"), "{outcome}");
    assert!(outcome.contains("against another dose: stage 1, pressure at the pain threshold, 30 s"), "the rival is named: {outcome}");
    let source = words(section(&pages["sources/feland-2004.html"], "conclusions"));
    assert!(source.contains("no difference, as the source says (no numbers)"), "{source}");
    assert!(pages["wording.html"].contains("as the source says"));
}

#[test]
fn one_is_singular_and_a_distance_on_the_pain_scale_is_no_fraction() {
    let pages = pages(&common::root().join(DEMO));
    let measure = words(&pages["measures/pain-0-10.html"]);
    assert!(measure.contains("0 to 10 points") && measure.contains("1 point on 0 to 10") && !measure.contains("/10"), "{measure}");
    assert!(measure.contains("A lower value is better."));
    for (path, page) in pages.iter().filter(|(p, _)| p.starts_with("questions/") || p.starts_with("measures/")) {
        for wrong in [" 1 points", ">1 points", " 1 results", ">1 results", " 1 degrees", "100.0 %", "kappa -", "I2 "] {
            assert!(!page.contains(wrong), "{path}: {wrong}");
        }
    }
}

#[test]
fn what_was_made_up_stands_last_and_carries_no_level_and_no_search() {
    let level =
        "sources/invented-dam-2023.yaml\n- design: randomised trial\n+ design: randomised trial\n+ level: {number: 2, for: benefit}\n";
    let pages = edited(level);
    for list in ["evidence.html", "questions/index.html", "sources/index.html"] {
        let (before, after) = pages[list].split_once("id=\"invented\"").unwrap_or_else(|| panic!("{list}"));
        assert!(!before.contains("invented-") && after.contains("invented-"), "{list}");
    }
    let question = words(&pages["questions/invented-warmth-before-stretch.html"]);
    assert!(question.contains("invented, nothing was searched") && !question.contains("Last search"), "{question}");
    assert!(question.contains("another treatment: static stretching alone"), "the comparator is named: {question}");
    let source = &pages["sources/invented-dam-2023.html"];
    assert!(!source.contains("OCEBM") && !source.contains("How far checked") && !source.contains("Retraction"), "{source}");
    assert!(pages["sources/lu-2022.html"].contains("OCEBM") && pages["questions/stretch-and-range.html"].contains("Last search"));
}

#[test]
fn a_claim_stands_once_for_each_page() {
    let pages = pages(&common::root().join(DEMO));
    let mut claims: Vec<&str> = section(&pages["questions/pressure-on-tender-points.html"], "claims").split("<li>").skip(1).collect();
    let all = claims.len();
    claims.sort_unstable();
    claims.dedup();
    assert!(all > 2 && claims.len() == all, "{claims:?}");
}

#[test]
fn a_pack_may_cite_by_a_number_that_is_the_same_on_every_page() {
    let numbered = edited("pack.yaml\n+ references: numbered\n");
    let (one, other, source) = ("muscles/soleus.html", "muscles/hamstrings.html", "fernandez-de-las-penas-2018");
    let number = |page: &str| {
        let list = section(&numbered[page], "sources");
        let item = list.split(&format!("id=\"source-{source}\">[")).nth(1).unwrap_or_else(|| panic!("{page}: {list}"));
        item.split(']').next().unwrap().to_string()
    };
    let own = number(one);
    assert_eq!(own, number(other));
    let cite = format!("sources/{source}.html\">[{own}]</a>");
    assert!(numbered[one].contains(&cite) && numbered[other].contains(&cite), "{cite}");
    let usual = pages(&common::root().join(DEMO));
    assert!(!usual[one].contains(&format!("{source}.html\">[")));
    for page in ["flags/leg-clot.html", "questions/stretch-and-range.html"] {
        assert!(section(&usual[page], "sources").contains("id=\"source-"), "{page}");
    }
}

//! Checks on the rendered output: each harmed output fires exactly its check, and each near miss is
//! silent. The output is that of the base pack; what is harmed is what a template of one's own, or a
//! mistake of ours, could do.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

mod common;
use common::{TODAY, apply, copy, root};
use fascicle::build::{self, Judged, Site};
use fascicle::checks::{self, Case};
use fascicle::render::Built;
use std::path::Path;

fn base() -> Judged {
    build::judge(&[root().join("tests/checks/base")], TODAY).unwrap()
}

fn site(judged: &mut Judged, into: &Path) -> Site {
    build::build(judged, into, None, TODAY).unwrap()
}

/// Names of the checks that fire on these files.
fn fired(judged: &Judged, built: &[Built]) -> Vec<&'static str> {
    let case = Case { catalog: judged.catalog.as_ref().unwrap(), facts: &judged.facts, today: TODAY };
    let mut names: Vec<_> = checks::run_on_output(&case, built).iter().map(|f| f.check).collect();
    names.sort_unstable();
    names.dedup();
    names
}

const PAGE: &str = "protocols/soleus.html";
const CARD: &str = "cards/soleus.html";
const ROOM: &str = "room/soleus.html";
const NOTICE: &str = "For trained practitioners within their licence and local rules. It is no medical advice.";
const NUMB: &str = "Is there any place where you feel touch, warmth or cold less than elsewhere?";
const NOT_FOR: &str = "Anyone with a stop-sign";
const CLOT: &str = "Is one leg more swollen, warm or sore than the other, without a knock?";

/// Check, file, what is replaced everywhere in it, by what.
const HARMED: [(&str, &str, &str, &str); 28] = [
    ("card-type-too-small", "assets/style.css", ".item-dose .value { font-size: 18pt", ".item-dose .value { font-size: 8pt"),
    ("card-page-values-differ", CARD, "45–60\u{a0}s", "1 min"),
    ("card-page-values-differ", "data/protocols/soleus.json", "45–60\u{a0}s", "1 min"),
    ("print-grey-loses-meaning", CARD, "<use href=\"#m-octagon\">", "<use>"),
    ("notice-missing", "measures/calf-pain.html", NOTICE, ""),
    ("notice-missing", CARD, "Test data. Not for treatment.", ""),
    ("caution-missing-from-output", PAGE, NUMB, ""),
    ("caution-missing-from-output", CARD, CLOT, ""),
    ("caution-missing-from-output", "data/protocols/soleus.json", NUMB, ""),
    ("caution-missing-from-output", ROOM, NUMB, ""),
    ("caution-missing-from-output", PAGE, NOT_FOR, ""),
    ("caution-missing-from-output", CARD, NOT_FOR, ""),
    ("caution-missing-from-output", "data/protocols/soleus.json", NOT_FOR, ""),
    ("caution-missing-from-output", ROOM, NOT_FOR, ""),
    ("notice-missing", ROOM, NOTICE, ""),
    ("outside-request", ROOM, "<head>", "<head><link rel=\"preload\" href=\"https://fonts.example/a.woff2\">"),
    ("card-identity-missing", CARD, "page 1 of", ""),
    ("site-link-broken", PAGE, "muscles/soleus.html", "muscles/solius.html"),
    ("outside-request", PAGE, "<head>", "<head><link rel=\"preload\" href=\"https://fonts.example/a.woff2\">"),
    ("outside-request", "assets/style.css", "\nbody {", "\n@import url(//fonts.example/a.css);\nbody {"),
    ("heading-order", PAGE, "<h2", "<h4"),
    ("text-alternative-missing", PAGE, "<main", "<img src=\"data:,\"><main"),
    ("text-alternative-missing", CARD, "role=\"img\" aria-label=\"Check code", "data-x=\"Check code"),
    ("keyboard-trap", PAGE, "id=\"main\" tabindex=\"-1\"", "id=\"main\" tabindex=\"2\""),
    ("personal-data-kept", PAGE, " autocomplete=\"off\"", ""),
    ("personal-data-kept", "assets/search.js", "'use strict';", "localStorage.clear();"),
    ("contrast-too-low", "assets/style.css", "--soft: #51585c", "--soft: #999"),
    ("target-too-small", "assets/style.css", "summary { min-height: 2.75rem", "summary { min-height: 1.5rem"),
];

/// File, what is replaced everywhere in it, by what: near misses.
const NEAR: [(&str, &str, &str); 10] = [
    ("assets/style.css", ".item-dose .value { font-size: 18pt", ".item-dose .value { font-size: 20pt"),
    (PAGE, NUMB, "Is there any place where you feel\n  touch, <em>warmth</em> or cold less than elsewhere?"),
    (PAGE, "<head>", "<head><link rel=\"preload\" href=\"data:,\">"),
    (CARD, "page 1 of", "page\n1 of"),
    (PAGE, "<main", "<img src=\"data:,\" alt=\"A leg\"><main"),
    (PAGE, "id=\"main\" tabindex=\"-1\"", "id=\"main\" tabindex=\"0\""),
    (PAGE, " autocomplete=\"off\"", " autocomplete=\"OFF\""),
    ("assets/style.css", "--soft: #51585c", "--soft: #666"),
    ("assets/style.css", "summary { min-height: 2.75rem", "summary { min-height: 44px"),
    ("data/protocols/soleus.json", NUMB, "Is there any place where you feel touch, warmth or cold less than elsewhere\\u003f"),
];

fn harm(built: &[Built], path: &str, from: &str, to: &str) -> Vec<Built> {
    let mut built = built.to_vec();
    let file = built.iter_mut().find(|b| b.path == path).unwrap_or_else(|| panic!("{path} is not there"));
    let text = file.text().to_string();
    assert!(text.contains(from), "`{from}` is not in {path}");
    file.bytes = text.replace(from, to).into_bytes();
    built
}

#[test]
fn the_shipped_output_is_silent() {
    let dir = tempfile::tempdir().unwrap();
    let mut judged = base();
    let site = site(&mut judged, dir.path());
    assert!(fired(&judged, site.files()).is_empty(), "{:?}", judged.findings(TODAY));
}

#[test]
fn harmed_output_fires_its_check_and_no_other() {
    let dir = tempfile::tempdir().unwrap();
    let mut judged = base();
    let site = site(&mut judged, dir.path());
    for (check, path, from, to) in HARMED {
        assert_eq!(fired(&judged, &harm(site.files(), path, from, to)), [check], "{path}: {from}");
    }
}

#[test]
fn near_misses_are_silent() {
    let dir = tempfile::tempdir().unwrap();
    let mut judged = base();
    let site = site(&mut judged, dir.path());
    for (path, from, to) in NEAR {
        assert!(fired(&judged, &harm(site.files(), path, from, to)).is_empty(), "{path}: {from}");
    }
}

/// `caution-missing-from-output`: what two conditions do together is looked for at both, and in a session too.
#[test]
fn a_combination_that_is_not_shown_at_both_conditions_is_found() {
    let dir = tempfile::tempdir().unwrap();
    let pack = dir.path().join("pack");
    copy(&root().join("tests/checks/base"), &pack).unwrap();
    let pair = "+ together: [{with: [late-pregnancy], rules: {pressure: never}, reason: Both at once.}]";
    apply(&pack, &format!("conditions/numb-skin.yaml\n- reason: Who cannot feel\n{pair}\n+ reason: Who cannot feel")).unwrap();
    apply(&pack, "protocols/soleus.yaml\n-   excludes: [late-pregnancy]\n").unwrap();
    let mut judged = build::judge(&[pack], TODAY).unwrap();
    let site = site(&mut judged, &dir.path().join("site"));
    assert!(fired(&judged, site.files()).is_empty(), "{:?}", judged.findings(TODAY));
    let pages = [PAGE, ROOM, "data/protocols/soleus.json", "sessions/calf-visit.html", "data/sessions/calf-visit.json"];
    let cards = [CARD, "cards/session-calf-visit.html"].into_iter();
    let cards = cards.flat_map(|path| [(path, "Together with Late pregnancy"), (path, "Together with Reduced feeling in the skin")]);
    for (path, words) in pages.into_iter().map(|path| (path, "Both at once.")).chain(cards) {
        assert_eq!(fired(&judged, &harm(site.files(), path, words, "")), ["caution-missing-from-output"], "{path}: {words}");
    }
    let once = |path: &str| {
        let mut built = site.files().to_vec();
        let file = built.iter_mut().find(|b| b.path == path).unwrap();
        file.bytes = file.text().replacen("Both at once.", "", 1).into_bytes();
        built
    };
    for path in [PAGE, ROOM, "sessions/calf-visit.html"] {
        assert_eq!(fired(&judged, &once(path)), ["caution-missing-from-output"], "{path} at one of the two");
    }
}

/// `flag-not-first`: the question of a red flag is moved to the end of the page, its name to the end of the card.
#[test]
fn a_flag_below_the_set_up_is_found() {
    let dir = tempfile::tempdir().unwrap();
    let mut judged = base();
    let site = site(&mut judged, dir.path());
    for (path, words) in [(PAGE, CLOT), (ROOM, CLOT), (CARD, "Suspected clot in a deep vein")] {
        let moved = harm(&harm(site.files(), path, words, ""), path, "</main>", &format!("<p>{words}</p></main>"));
        assert_eq!(fired(&judged, &moved), ["flag-not-first"], "{path}");
        let twice = harm(site.files(), path, "</main>", &format!("<p>{words}</p></main>"));
        assert!(fired(&judged, &twice).is_empty(), "{path}");
    }
}

/// `override-hidden-in-output`: a house pack whose output does not say where it differs.
#[test]
fn a_difference_from_the_base_pack_that_is_not_shown_is_found() {
    let dir = tempfile::tempdir().unwrap();
    common::house_packs(dir.path(), "", "").unwrap();
    let mut judged = build::judge(&[dir.path().join("house")], TODAY).unwrap();
    let site = site(&mut judged, &dir.path().join("site"));
    assert!(fired(&judged, site.files()).is_empty(), "{:?}", judged.findings(TODAY));
    let data = "data/protocols/soleus.json";
    let hidden = "override-hidden-in-output";
    let harmed: [(&str, &str, &str, &[&str]); 5] = [
        (PAGE, "Differs from Fixture pack", "As in", &[hidden]),
        // The number is a dose too, and the card still has it.
        (PAGE, "1\u{a0}repeat", "one", &["card-page-values-differ", hidden]),
        (CARD, "Differs from Fixture pack", "", &[hidden]),
        (ROOM, "Differs from Fixture pack", "", &[hidden]),
        (data, "Fixture pack 1.0.0", "", &[hidden]),
    ];
    for (path, from, to, checks) in harmed {
        assert_eq!(fired(&judged, &harm(site.files(), path, from, to)), checks, "{path}: {from}");
    }
    assert!(fired(&judged, &harm(site.files(), PAGE, "Differs from Fixture", "Differs\nfrom  Fixture")).is_empty());
}

fn errors_after_building(edits: &str) -> Vec<&'static str> {
    let dir = tempfile::tempdir().unwrap();
    let pack = dir.path().join("pack");
    copy(&root().join("tests/checks/base"), &pack).unwrap();
    apply(&pack, edits).unwrap();
    let mut judged = build::judge(&[pack], TODAY).unwrap();
    site(&mut judged, &dir.path().join("site"));
    judged.findings(TODAY).iter().map(|f| f.check).collect()
}

/// `address-taken`: a page with the id `index` would stand for the list of pages.
#[test]
fn two_documents_cannot_have_one_address() {
    assert_eq!(errors_after_building("pages/index.md\n+ # Overview\n+ \n+ Words about the pack."), ["address-taken"]);
    assert!(errors_after_building("pages/indexes.md\n+ # Overview\n+ \n+ Words about the pack.").is_empty());
}

/// `heading-order`: Markdown of a pack that skips a level.
#[test]
fn a_text_that_skips_a_level_of_headings_is_found() {
    let text = |below: &str| format!("pages/cold.md\n+ # Cold in practice\n+ \n+ ## Before\n+ \n+ {below} The bottle\n+ \n+ Look at it.");
    assert_eq!(errors_after_building(&text("####")), ["heading-order"]);
    assert!(errors_after_building(&text("###")).is_empty());
}

/// `card-overflow`: one item that no face can hold.
#[test]
fn an_item_higher_than_a_card_is_found() {
    let edits = |n: usize| {
        let words = "Feel for the edge of the muscle. ".repeat(n);
        format!("protocols/soleus.yaml\n- success: Pain falls by 2 points under the same pressure.\n+ success: {}", words.trim_end())
    };
    // On the card of the protocol, and on that of the session with it.
    assert_eq!(errors_after_building(&edits(150)), ["card-overflow", "card-overflow"]);
    assert!(errors_after_building(&edits(5)).is_empty());
}

/// `build-not-repeatable`: the manifest says that the same packs made another file.
#[test]
fn a_build_that_cannot_be_repeated_is_found() {
    let dir = tempfile::tempdir().unwrap();
    let into = dir.path().join("site");
    let mut judged = base();
    let first = site(&mut judged, &into);
    first.write(&into).unwrap();
    let mut again = base();
    site(&mut again, &into);
    assert!(again.findings(TODAY).is_empty());
    let manifest = into.join("fascicle-manifest.json");
    let text = std::fs::read_to_string(&manifest).unwrap();
    let file = first.files().iter().find(|b| b.path == PAGE).unwrap();
    let digest = text.lines().find(|l| l.contains(&format!("\"{}\"", file.path))).unwrap().to_string();
    std::fs::write(&manifest, text.replace(&digest, &format!("    \"{}\": \"0\",", file.path))).unwrap();
    let mut harmed = base();
    site(&mut harmed, &into);
    assert_eq!(harmed.findings(TODAY).iter().map(|f| f.check).collect::<Vec<_>>(), ["build-not-repeatable"]);
}

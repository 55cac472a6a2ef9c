//! What two conditions do together is written at one of them and stands wherever the rows of one do, at both.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

mod common;

use common::{TODAY, apply, copy, root};
use fascicle::build::{Judged, judge};
use fascicle::compute::compare::{Class, Side, Topic, Way, compare};
use fascicle::render::{Built, Templates, render};

const NUMB: &str = "Reduced feeling in the skin";
const PREGNANT: &str = "Late pregnancy";

/// A pair at one of its two conditions.
fn pair(at: &str, with: &str, rules: &str) -> String {
    let reason = if at == "numb-skin" { "reason: Who cannot feel cannot warn." } else { "reason: Heat and lying positions call for care." };
    format!("conditions/{at}.yaml\n- {reason}\n+ together: [{{with: [{with}], rules: {{{rules}}}, reason: Both at once.}}]\n+ {reason}\n")
}

/// The base pack, of which the protocol takes people with each of its conditions, and these edits.
fn edited(edits: &str) -> Judged {
    let dir = tempfile::tempdir().unwrap();
    copy(&root().join("tests/checks/base"), dir.path()).unwrap();
    apply(dir.path(), "protocols/soleus.yaml\n-   excludes: [late-pregnancy]\n").unwrap();
    apply(dir.path(), edits).unwrap();
    judge(&[dir.path().to_path_buf()], TODAY).unwrap()
}

fn pages(judged: &Judged) -> Vec<Built> {
    let plan = fascicle::plan::plan(judged.catalog.as_ref().unwrap(), &judged.facts).unwrap();
    render(&plan, Templates::shipped()).unwrap()
}

fn text(files: &[Built], path: &str) -> String {
    let html = files.iter().find(|f| f.path == path).unwrap_or_else(|| panic!("{path} is not there")).text();
    let pieces = html.split('<').map(|p| p.split_once('>').map_or(p, |(_, text)| text));
    pieces.collect::<String>().split_whitespace().collect::<Vec<_>>().join(" ")
}

fn side(judged: &Judged) -> Side {
    Side::of(judged.catalog.as_ref().unwrap(), &judged.facts)
}

#[test]
fn a_pair_stands_on_every_page_and_card_at_both_conditions() {
    for (at, with) in [("numb-skin", "late-pregnancy"), ("late-pregnancy", "numb-skin")] {
        let files = pages(&edited(&pair(at, with, "pressure: never")));
        let both = [format!("Together with {NUMB}"), format!("Together with {PREGNANT}")];
        let everywhere = ["protocols/soleus.html", "room/soleus.html", "cards/soleus.html", "sessions/calf-visit.html"];
        for path in everywhere.into_iter().chain(["cards/session-calf-visit.html", "mark-sheets/soleus.html"]) {
            let text = text(&files, path);
            assert!(both.iter().all(|b| text.contains(b)), "{path}, written at {at}: {text}");
        }
        for (condition, other) in [("numb-skin", PREGNANT), ("late-pregnancy", NUMB)] {
            let text = text(&files, &format!("conditions/{condition}.html"));
            assert!(text.contains(&format!("Together with {other}")) && text.contains("Both at once."), "{condition}: {text}");
        }
        for path in ["screening.html", "audit/cautions.html"] {
            let text = text(&files, path).to_lowercase();
            assert!(text.contains("together with"), "{path}: {text}");
        }
        let card = text(&files, "cards/soleus.html");
        assert!(card.contains(&format!("Together with {PREGNANT}: Never: step 6")), "{card}");
    }
}

#[test]
fn a_pair_with_what_the_protocol_excludes_stands_at_the_conditions_alone() {
    let dir = tempfile::tempdir().unwrap();
    copy(&root().join("tests/checks/base"), dir.path()).unwrap();
    apply(dir.path(), &pair("numb-skin", "late-pregnancy", "pressure: never")).unwrap();
    let files = pages(&judge(&[dir.path().to_path_buf()], TODAY).unwrap());
    assert!(!text(&files, "protocols/soleus.html").contains("Together with"));
    assert!(!text(&files, "cards/soleus.html").contains("Together with"));
    assert!(text(&files, "conditions/late-pregnancy.html").contains(&format!("Together with {NUMB}")));
}

#[test]
fn comparing_knows_a_pair_whichever_of_the_two_it_is_written_at() {
    let none = side(&edited(""));
    let here = side(&edited(&pair("numb-skin", "late-pregnancy", "pressure: never")));
    let there = side(&edited(&pair("late-pregnancy", "numb-skin", "pressure: never")));
    let weaker = side(&edited(&pair("numb-skin", "late-pregnancy", "pressure: ask first")));
    for (old, new, way) in
        [(&here, &none, Way::Looser), (&here, &weaker, Way::Looser), (&weaker, &here, Way::Tighter), (&none, &here, Way::Tighter)]
    {
        for (document, path) in [("conditions/numb-skin", "together with late-pregnancy"), ("protocols/soleus", "together with")] {
            let changes = compare(old, new);
            let found = changes.iter().find(|c| c.document.to_string() == document && c.path.contains(path) && c.topic == Topic::Caution);
            let found = found.unwrap_or_else(|| panic!("{document}: {changes:?}"));
            assert_eq!(found.way, way, "{found:?}");
            assert_eq!(found.class == Class::Warning, way == Way::Looser, "{found:?}");
        }
    }
    let moved = compare(&here, &there);
    assert!(moved.iter().all(|c| c.document.to_string() != "protocols/soleus"), "{moved:?}");
}

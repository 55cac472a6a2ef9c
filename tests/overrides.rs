//! House packs: a shorter hold with more repeats is found by its total, a record lets it through for a time and marks
//! page and card, and whatever is wrong with a base or a change is a finding at its characters or a clear error.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

mod common;
use common::{TODAY, apply, copy, digest_of, house_packs, root};
use fascicle::build::{self, Judged};
use fascicle::finding::Level;
use std::path::Path;

/// The base pack of the story: two presses of 45 s, and a technique that allows shorter ones and more of them.
const BASE: &str = "
techniques/sustained-pressure.yaml
- hold: {allowed: 30-90 s,
+ hold: {allowed: 20-90 s,
- reps: {allowed: 1-3 reps,
+ reps: {allowed: 1-5 reps,
- least: {pressure: 30 s}
+ least: {pressure: 20 s}
protocols/soleus.yaml
- hold: 45-60 s, reps: 2 reps
+ hold: 45 s, reps: 2 reps
";

const RECORD: &str = "
loosening:
  argument: Shorter presses are borne better by the people of this house, as its own notes of a year show.
  approver: reviewer
  until: 2027-01-31
";

/// The house pack of the story, with this record.
fn story(dir: &Path, record: &str) -> Judged {
    story_on(dir, record, TODAY)
}

fn story_on(dir: &Path, record: &str, day: jiff::civil::Date) -> Judged {
    house_packs(dir, "", "").unwrap();
    apply(&dir.join("base"), BASE).unwrap();
    let base = digest_of(&dir.join("base"), "protocols/soleus").unwrap();
    let change = format!(
        "id: soleus\nof: protocols/soleus\nbase: \"{base}\"\nreason: Five short presses.\nauthor: clinic-lead\n\
         merge: {{steps: {{\"6\": {{dose: {{hold: 25 s, reps: 5 reps}}}}}}}}\n{record}"
    );
    std::fs::write(dir.join("house/changes/soleus.yaml"), change).unwrap();
    build::judge(&[dir.join("house")], day).unwrap()
}

fn errors(judged: &Judged, day: jiff::civil::Date) -> Vec<(&'static str, String)> {
    let findings = judged.findings(day);
    findings.into_iter().filter(|f| f.level == Level::Error).map(|f| (f.check, f.message.replace('\u{a0}', " "))).collect()
}

/// Findings of a house pack after edits of base and house: name, message, and the characters under it with their file.
fn found(base: &str, house: &str) -> Vec<(&'static str, String, String)> {
    let dir = tempfile::tempdir().unwrap();
    house_packs(dir.path(), base, house).unwrap();
    let judged = build::judge(&[dir.path().join("house")], TODAY).unwrap();
    let map = &judged.loaded.map;
    let place = |span: fascicle::source::Span| {
        let path = map.path(span.file).rsplit_once(&*dir.path().to_string_lossy()).map_or("", |(_, inner)| inner.trim_start_matches('/'));
        format!("{path}: {}", map.slice(span))
    };
    judged.findings(TODAY).into_iter().map(|f| (f.check, f.message, place(f.primary.span))).collect()
}

#[test]
fn a_shorter_hold_with_more_repeats_is_refused_with_both_totals() {
    let dir = tempfile::tempdir().unwrap();
    let judged = story(dir.path(), "");
    let errors = errors(&judged, TODAY);
    assert_eq!(errors.len(), 1, "{errors:?}");
    assert_eq!(errors[0].0, "override-loosens-total");
    assert!(errors[0].1.contains("`protocols/soleus`") && errors[0].1.contains("90 s -> 125 s"), "{errors:?}");
}

#[test]
fn with_a_record_it_compiles_and_is_marked_on_page_card_and_data() {
    let dir = tempfile::tempdir().unwrap();
    let mut judged = story(dir.path(), RECORD);
    assert_eq!(errors(&judged, TODAY), []);
    let site = build::build(&mut judged, &dir.path().join("site"), None, TODAY).unwrap();
    assert_eq!(errors(&judged, TODAY), []);
    let text = |path: &str| site.files().iter().find(|f| f.path == path).unwrap().text().replace('\u{a0}', " ");
    let page = text("protocols/soleus.html");
    for part in [
        "Differs from Fixture pack 1.0.0",
        "125 s",
        "Five short presses.",
        "Let through until 2027-01-31",
        "as its own notes of a year show",
    ] {
        assert!(page.contains(part), "{part}");
    }
    assert!(text("cards/soleus.html").contains("Differs from Fixture pack 1.0.0"));
    assert!(text("data/protocols/soleus.json").contains("\"base\": \"Fixture pack 1.0.0\""));
    assert!(!text("muscles/soleus.html").contains("Differs from"), "it is as in the base pack");
}

#[test]
fn a_day_after_its_end_it_is_refused() {
    let day = |d| jiff::civil::date(2027, 1, d);
    let last = tempfile::tempdir().unwrap();
    assert_eq!(errors(&story_on(last.path(), RECORD, day(31)), day(31)), []);
    let next = jiff::civil::date(2027, 2, 1);
    let dir = tempfile::tempdir().unwrap();
    let errors = errors(&story_on(dir.path(), RECORD, next), next);
    assert_eq!(errors.iter().map(|e| e.0).collect::<Vec<_>>(), ["override-reason-expired"], "{errors:?}");
}

#[test]
fn a_record_that_is_not_complete_lets_nothing_through() {
    let cases = [
        ("loosening: {argument: preference, approver: reviewer, until: 2027-01-31}", "an argument of fewer than 5 words"),
        ("loosening: {approver: reviewer, until: 2027-01-31}", "neither argument nor source"),
        ("loosening: {argument: Our notes of a year show this., until: 2027-01-31}", "no approver"),
        ("loosening: {argument: Our notes of a year show this., approver: clinic-lead, until: 2027-01-31}", "the author is the approver"),
        ("loosening: {argument: Our notes of a year show this., approver: porter, until: 2027-01-31}", "`porter` is no role of this pack"),
        ("loosening: {argument: Our notes of a year show this., approver: reviewer}", "no last day"),
        ("loosening: {argument: Our notes of a year show this., approver: reviewer, until: 2027-12-02}", "more than 12 months ahead"),
    ];
    for (record, said) in cases {
        let dir = tempfile::tempdir().unwrap();
        let errors = errors(&story(dir.path(), record), TODAY);
        assert!(matches!(&errors[..], [("override-reason-missing", message)] if message.contains(said)), "{record}: {errors:?}");
    }
    for record in [
        "loosening: {argument: Our notes of a year show this., approver: reviewer, until: 2027-12-01}",
        "loosening: {cite: [{source: house-trial, at: table 2}], approver: reviewer, until: 2027-01-31}",
    ] {
        let dir = tempfile::tempdir().unwrap();
        assert_eq!(errors(&story(dir.path(), record), TODAY), [], "{record}");
    }
}

#[test]
fn a_record_of_one_document_does_not_open_the_door_for_another() {
    let dir = tempfile::tempdir().unwrap();
    house_packs(dir.path(), "", "").unwrap();
    let record = "loosening: {argument: Our notes of a year show this., approver: reviewer, until: 2027-01-31}\n";
    let file = dir.path().join("house/changes/leg-clot.yaml");
    let text = std::fs::read_to_string(&file).unwrap();
    std::fs::write(&file, text + record).unwrap();
    apply(&dir.path().join("house"), "changes/soleus.yaml\n- reps: 1 reps\n+ reps: 3 reps").unwrap();
    let judged = build::judge(&[dir.path().join("house")], TODAY).unwrap();
    assert_eq!(errors(&judged, TODAY).iter().map(|e| e.0).collect::<Vec<_>>(), ["override-loosens-total"]);
}

#[test]
fn mistakes_in_changed_values_are_shown_in_the_change() {
    let dose = "changes/soleus.yaml\n- reps: 1 reps\n+ ";
    let cases = [
        (format!("{dose}hold: 45 cm"), "quantity-dimension", "cm"),
        (format!("{dose}hold: 60-45 s"), "range-inverted", "60-45"),
        (format!("{dose}hold: 3o s"), "quantity-unreadable", "o s"),
        ("changes/soleus.yaml\n- {steps: {\"6\"\n+ {stepps: {}, steps: {\"6\"".to_string(), "unknown-key", "stepps"),
        ("changes/soleus.yaml\n- {steps: {\"6\"\n+ {muscle: solius, steps: {\"6\"".to_string(), "link-missing", "solius"),
    ];
    for (edit, check, at) in cases {
        let found = found("", &edit);
        let here =
            found.iter().any(|(name, _, place)| *name == check && place.starts_with("house/changes/soleus.yaml: ") && place.contains(at));
        assert!(here, "{edit}: {found:?}");
    }
}

#[test]
fn a_change_that_reaches_nothing_is_found() {
    let soleus = "changes/soleus.yaml\n- merge: {steps: {\"6\": {dose: {reps: 1 reps}}}}\n+ merge: ";
    let cases = [
        (
            "changes/leg-clot.yaml\n- of: flags/leg-clot\n+ of: flags/leg-clots".to_string(),
            "the base pack has no document `flags/leg-clots`",
        ),
        ("changes/leg-clot.yaml\n- of: flags/leg-clot\n+ of: pages/about".to_string(), "`pages/about` is a page of text"),
        ("changes/leg-clot.yaml\n- of: flags/leg-clot\n+ of: pack/roles".to_string(), "the pack file has no part `pack/roles`"),
        (format!("{soleus}{{steps: {{\"16\": null}}}}"), "`16` is not there"),
        (format!("{soleus}{{steps: {{\"6\": {{dose: {{repeats: null}}}}}}}}"), "`repeats` is not there"),
        (format!("{soleus}{{evidence: {{first: {{text: x}}}}}}"), "items of this list of `protocols/soleus` cannot be addressed"),
        (format!("{soleus}{{aftercare: }}"), "a key without a value"),
    ];
    for (edit, said) in cases {
        let found = found("", &edit);
        let hits: Vec<_> =
            found.iter().filter(|(check, message, _)| *check == "override-target-missing" && message.contains(said)).collect();
        assert_eq!(hits.len(), 1, "{edit}: {found:?}");
    }
    let found = found("", "changes/leg-clot.yaml\n- of: flags/leg-clot\n+ of: leg clot");
    assert!(found.iter().any(|(check, message, _)| *check == "schema-shape" && message.contains("names no document")), "{found:?}");
}

#[test]
fn a_house_pack_file_says_what_is_its_own() {
    let found = found("", "pack.yaml\n- edition: 1.0.0\n+ # no edition");
    assert!(
        found.iter().any(|(check, message, place)| *check == "schema-shape"
            && message.contains("`edition`")
            && place.starts_with("house/pack.yaml")),
        "{found:?}"
    );
}

#[test]
fn packs_that_build_on_one_another_in_a_circle_are_found() {
    let found = found(
        "pack.yaml\n- title: Fixture pack\n+ title: Fixture pack\n+ extends: {pack: fixture-house, edition: 1.0.0, at: ../house}",
        "",
    );
    let [(check, message, place)] = &found[..] else { panic!("{found:?}") };
    assert_eq!(*check, "link-cycle");
    assert!(message.contains("in a circle") && place == "base/pack.yaml: ../house", "{found:?}");
}

#[test]
fn a_base_that_is_missing_is_the_only_finding() {
    let dir = tempfile::tempdir().unwrap();
    house_packs(dir.path(), "", "").unwrap();
    std::fs::rename(dir.path().join("base"), dir.path().join("moved")).unwrap();
    let judged = build::judge(&[dir.path().join("house")], TODAY).unwrap();
    assert_eq!(errors(&judged, TODAY).iter().map(|e| e.0).collect::<Vec<_>>(), ["base-pack-missing"]);
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_fascicle")).arg("check").arg(dir.path().join("house")).output().unwrap();
    assert_eq!(output.status.code(), Some(1), "{}", String::from_utf8_lossy(&output.stderr));
}

#[test]
fn a_pack_and_its_base_are_not_given_together() {
    let dir = tempfile::tempdir().unwrap();
    house_packs(dir.path(), "", "").unwrap();
    let both = [dir.path().join("house"), dir.path().join("base")];
    let Err(error) = build::judge(&both, TODAY) else { panic!("both were taken") };
    assert!(error.to_string().contains("a house pack brings its base along"), "{error}");
}

#[test]
fn a_house_pack_can_be_the_base_of_another() {
    let dir = tempfile::tempdir().unwrap();
    house_packs(dir.path(), "", "").unwrap();
    let room = dir.path().join("room");
    copy(&root().join("tests/house"), &room).unwrap();
    std::fs::remove_dir_all(room.join("changes")).unwrap();
    apply(&room, "pack.yaml\n- id: fixture-house\n+ id: fixture-room\n- {pack: base, edition: ^1.0, at: ../base}\n+ {pack: fixture-house, edition: 1.0.0, at: ../house}\n- max: 5 passes\n+ max: 4 passes").unwrap();
    let judged = build::judge(std::slice::from_ref(&room), TODAY).unwrap();
    assert_eq!(errors(&judged, TODAY), []);
    let changes = &judged.facts.houses[0].changes;
    assert!(changes.iter().any(|c| c.old.as_deref() == Some("5\u{a0}passes") && c.new.as_deref() == Some("4\u{a0}passes")), "{changes:?}");
    assert!(changes.iter().all(|c| c.document.to_string() == "pack/house"), "the changes of the middle pack are not its own: {changes:?}");
    apply(&room, "pack.yaml\n- max: 4 passes\n+ max: 6 passes").unwrap();
    let judged = build::judge(&[room], TODAY).unwrap();
    assert_eq!(
        errors(&judged, TODAY).iter().map(|e| e.0).collect::<Vec<_>>(),
        ["override-loosens-limit"],
        "looser than the pack it builds on"
    );
}

#[test]
fn an_edit_of_the_base_moves_what_was_signed_in_the_house() {
    let digest = |base: &str, house: &str| {
        let dir = tempfile::tempdir().unwrap();
        house_packs(dir.path(), base, house).unwrap();
        let judged = build::judge(&[dir.path().join("house")], TODAY).unwrap();
        let name = fascicle::model::DocName::read("protocols/soleus").unwrap();
        judged.facts.currency.named(&name).unwrap().digest
    };
    let before = digest("", "");
    assert_eq!(digest("techniques/moist-heat.yaml\n- id: moist-heat\n+ # a comment\n+ id: moist-heat", ""), before);
    assert_ne!(digest("techniques/moist-heat.yaml\n- set-up: 2 min\n+ set-up: 3 min", ""), before);
    assert_ne!(digest("", "changes/soleus.yaml\n- reason: One press\n+ reason: A single press"), before, "the reason is signed too");
}

/// What two conditions do together is a caution like any other.
#[test]
fn a_house_may_tighten_what_two_conditions_do_together_and_not_weaken_it() {
    let reason = "reason: Who cannot feel cannot warn.";
    let pair = "together: [{with: [late-pregnancy], rules: {pressure: not here}, reason: Both at once.}]";
    let base =
        format!("protocols/soleus.yaml\n-   excludes: [late-pregnancy]\nconditions/numb-skin.yaml\n- {reason}\n+ {pair}\n+ {reason}");
    let with = |rules: &str| format!("[{{with: [late-pregnancy], rules: {{{rules}}}, reason: Both at once.}}]");
    for (merge, dropped) in [("null".into(), true), (with("pressure: ask first"), true), (with("pressure: never"), false)] {
        let house = format!(
            "changes/numb.yaml\n+ id: numb\n+ of: conditions/numb-skin\n+ base: \"DIGEST:conditions/numb-skin\"\n+ reason: Invented.\n+ author: clinic-lead\n+ merge: {{together: {merge}}}"
        );
        let names: Vec<&str> = found(&base, &house).into_iter().map(|(check, ..)| check).collect();
        assert_eq!(names.contains(&"override-drops-caution"), dropped, "{merge}: {names:?}");
    }
}

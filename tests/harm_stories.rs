//! Ways in which people were hurt, or could be, each as a change to the base pack: the build refuses it
//! and says the computed number.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

mod common;
use common::{TODAY, apply, copy, root};
use fascicle::build::{judge, stops};

/// Everything said about the base pack with these edits, by check; the edits must stop the build.
fn told(edits: &str) -> Vec<(&'static str, String)> {
    let dir = tempfile::tempdir().expect("a folder");
    copy(&root().join("tests/checks/base"), dir.path()).expect("the base pack is copied");
    let sound = judge(&[dir.path().to_path_buf()], TODAY).expect("the base pack can be judged").findings(TODAY);
    assert!(!stops(&sound, false), "the base pack builds");
    apply(dir.path(), edits).expect("the edits fit");
    let findings = judge(&[dir.path().to_path_buf()], TODAY).expect("the pack can be judged").findings(TODAY);
    assert!(stops(&findings, false), "the build must stop");
    findings.into_iter().map(|f| (f.check, format!("{} {}", f.message, f.notes.join(" ")).replace('\u{a0}', " "))).collect()
}

fn says(told: &[(&'static str, String)], check: &str, number: &str) {
    let found: Vec<_> = told.iter().filter(|(c, _)| *c == check).collect();
    assert!(found.iter().any(|(_, text)| text.contains(number)), "{check} with `{number}` in {told:#?}");
}

#[test]
fn a_stream_held_still_over_a_point() {
    let still = told(
        "protocols/soleus.yaml\n- agent: ice edge, passes: 2-3 passes, speed: 10 cm/s,\n+ agent: coolant stream, passes: 2-3 passes,\ntechniques/cold-sweep.yaml\n- speed: {allowed: 8-12 cm/s, required: true\n+ speed: {allowed: 8-12 cm/s, required: false\n",
    );
    says(&still, "cold-stream-speed-missing", "Held still for 10 s it takes skin down to -12");
    let slow = told(
        "protocols/soleus.yaml\n- agent: ice edge, passes: 2-3 passes, speed: 10 cm/s,\n+ agent: coolant stream, passes: 2-3 passes, speed: 2 cm/s,\n",
    );
    says(&slow, "cold-dwell-exceeded", "7.5 s");
}

#[test]
fn a_pack_straight_from_an_overheated_tank() {
    let told = told(
        "protocols/soleus.yaml\n- time: 10-15 min, source: 70 degC, layers: 8 layers\n+ time: 15 min, source: 85 degC, layers: 6-8 layers\n",
    );
    says(&told, "heat-margin-too-small", "15 min is 1.14 of the safe time of 13.2 min");
    says(&told, "heat-margin-too-small", "49.5 °C");
}

#[test]
fn a_source_without_an_upper_end_is_judged_at_its_worst() {
    let with = |source: &str| format!("protocols/soleus.yaml\n- source: 70 degC, layers: 8 layers\n+ source: {source}, layers: 8 layers\n");
    says(&told(&with("\">= 60 degC\"")), "heat-margin-too-small", "step 5 brings skin to");
    says(&told(&with("400 degC")), "number-out-of-bounds", "400 degC");
}

#[test]
fn ice_first_and_a_deep_thumb_after() {
    let told = told(
        "protocols/soleus.yaml
-   - number: 6
+   - number: 51
+     do: Sweep the calf from the heel cord up.
+     technique: cold-sweep
+     target: {regions: [calf-inner, calf-outer]}
+     dose: {agent: coolant stream, passes: 2 passes, speed: 10 cm/s, length: 30 cm, lines: 3 lines}
+     basis: house practice
+   - number: 6
- pain: 5/10}
+ pain: 7/10}
techniques/cold-sweep.yaml
- total: [passes], numbs-for: 10 min}
+ total: [passes]}
",
    );
    // No time is typed: the window is that of the model.
    says(&told, "pressure-on-cooled-skin", "Within 90 s of this cold");
}

#[test]
fn a_stretch_that_shortens() {
    let told = told(
        "muscles/soleus.yaml
+ mechanics:
+   - part: all
+     arms:
+       ankle.dorsiflexion: {positive: dorsiflexion, arms: {-50 deg: -38.2 mm, -15 deg: -43.9 mm, 0 deg: -41.4 mm, 20 deg: -34.2 mm}}
+     fibre: 44 mm
+     basis: house practice
protocols/soleus.yaml
- joints: {ankle.dorsiflexion: 15 deg}
+ joints: {ankle.dorsiflexion: -15 deg}
",
    );
    says(&told, "stretch-shortens-target", "11 mm shorter than in neutral");
}

#[test]
fn a_point_that_refers_to_the_arm_and_nobody_asks_about_the_heart() {
    // Named in words.
    let words = told("muscles/soleus.yaml\n- spread: [heel-cord, sole], share\n+ spread: [heel-cord, sole, upper-arm-inner left], share\n");
    says(&words, "flag-missing-for-referral-zone", "`acute-coronary`");
    // Drawn over the chest and named nowhere: the drawing alone calls for the flag.
    let drawn = told(
        "muscles/soleus.yaml\n- spread: [heel-cord, sole], share\n+ spread: [heel-cord, sole], drawn: [{view: front, spread: \"4 38, 13 38, 13 43, 4 43\"}], share\n",
    );
    says(&drawn, "flag-missing-for-referral-zone", "`acute-coronary`");
    says(&drawn, "zone-words-differ", "chest");
}

#[test]
fn a_sweep_of_which_nobody_says_where_it_starts() {
    let told = told("protocols/soleus.yaml\n-       from: distal\n+\n- 12 145.5, 12.5 134, 12 132\n+ 12 132, 12.5 134, 12 145.5\n");
    says(&told, "sweep-direction-conflict", "does not say at which attachment its sweep starts");
    says(&told, "sweep-direction-conflict", "start at different attachments");
}

#[test]
fn a_muscle_drawn_without_an_outline_is_not_silently_right() {
    let told = told(
        "muscles/soleus.yaml\n-     outline: 4.6 136, 5.4 131, 9 129.3, 12.8 129.3, 15 134, 15 139, 14 145, 11.5 151, 8.5 151, 5.6 145\n+\n",
    );
    says(&told, "muscle-not-drawn", "without an outline");
    says(&told, "point-outside-muscle", "where the muscle has no outline");
}

#[test]
fn a_course_that_goes_on_because_of_two_points() {
    let goal = told(
        "protocols/soleus.yaml\n- measure: calf-pain, when: re-test,\n+ measure: calf-pain, when: re-test, goal: {change: 2/10, over: course, basis: house practice},\n",
    );
    says(&goal, "change-below-error", "a change of 2/10, and the error of `Pain on a 0-10 scale` is 4/10");
    let words = told(
        "protocols/soleus.yaml\n- decide: Go on only if the change is larger than the error of the measure.\n+ decide: Go on if pain has fallen by two points.\n",
    );
    says(&words, "change-below-error", "the course is decided on a change of 2/10");
}

#[test]
fn items_of_a_restricted_form_on_a_public_page() {
    let told = told(
        "measures/calf-pain.yaml\n- licence: The question may be asked freely.\n+ licence: The form has an owner.\n+ licence-terms: restricted\npages/about.md\n+ The [form](measure:calf-pain):\n+\n+ 1. I can climb the stairs without a rail.\n+ 2. I can walk to the gate and back.\n+ 3. I can stand on my toes for long.\n",
    );
    says(&told, "licensed-scale-reproduced", "restricted");
}

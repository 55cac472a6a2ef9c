//! What changed between two packs: judged the right way and back, most dangerous first, and nothing left out.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

mod common;
use common::{TODAY, apply, copy, root};
use fascicle::build;
use fascicle::compute::compare::{Change, Class, Side, Step, Topic, Way, compare, demanded, enough};
use fascicle::model::DocName;
use fascicle::model::content::Content;
use proptest::prelude::*;
use serde_json::Value;
use std::path::Path;
use std::process::{Command, Output};
use std::sync::LazyLock;

fn side(folder: &Path) -> Side {
    let judged = build::gather(&[folder.to_path_buf()], TODAY).unwrap();
    let wrong = || judged.findings(TODAY).into_iter().map(|f| f.message).collect::<Vec<_>>();
    let catalog = judged.catalog.as_ref().filter(|c| c.complete).unwrap_or_else(|| panic!("{:?}", wrong()));
    Side::of(catalog, &judged.facts)
}

static BASE: LazyLock<Side> = LazyLock::new(|| side(&root().join("tests/checks/base")));

fn pack(edits: &str) -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    copy(&root().join("tests/checks/base"), dir.path()).unwrap();
    apply(dir.path(), edits).unwrap();
    dir
}

fn edited(edits: &str) -> Side {
    side(pack(edits).path())
}

fn shown(changes: &[Change]) -> String {
    let line = |c: &Change| {
        format!("{:?} {:?} {:?} {} | {} | {:?} -> {:?} {:?}\n", c.class, c.way, c.topic, c.document, c.path, c.old, c.new, c.ratio)
    };
    changes.iter().map(line).collect()
}

/// Edits, and a line that they must give: class, way, topic, document, a part of the path. Backwards the way is the other.
type Case = (&'static str, Class, Way, Topic, &'static str, &'static str);

const CASES: &[Case] = &[
    (
        "techniques/sustained-pressure.yaml\n- stop:\n-   - {sign: numbness or tingling, at: lasts over 10 s, do: release and test feeling, then: end step}\n",
        Class::Warning,
        Way::Looser,
        Topic::StopRule,
        "techniques/sustained-pressure",
        "stop rule",
    ),
    (
        "techniques/sustained-pressure.yaml\n- lasts over 10 s\n+ lasts over 30 s\n",
        Class::Warning,
        Way::Looser,
        Topic::StopRule,
        "techniques/sustained-pressure",
        "stop rule",
    ),
    (
        "protocols/soleus.yaml\n- stop: [{sign: sharp pain, at: any, do: stop for the day, then: end session}]\n",
        Class::Warning,
        Way::Looser,
        Topic::StopRule,
        "protocols/soleus",
        "home, Step stretch, stop rule",
    ),
    (
        "conditions/numb-skin.yaml\n-   cold: never\n+   cold: watch\n",
        Class::Warning,
        Way::Looser,
        Topic::Caution,
        "conditions/numb-skin",
        "rules, cold, strength",
    ),
    (
        "conditions/numb-skin.yaml\n-   pressure: [{strength: limit, max: {pain: 3/10}\n+   pressure: [{strength: limit, max: {pain: 4/10}\n",
        Class::Warning,
        Way::Looser,
        Topic::Caution,
        "conditions/numb-skin",
        "pain",
    ),
    ("conditions/numb-skin.yaml\n! delete\n", Class::Warning, Way::Looser, Topic::Caution, "conditions/numb-skin", "the whole condition"),
    ("flags/leg-clot.yaml\n! delete\n", Class::Warning, Way::Looser, Topic::Flag, "flags/leg-clot", "the whole flag"),
    (
        "flags/cold-limb.yaml\n- urgency: now\n+ urgency: same day\n",
        Class::Warning,
        Way::Looser,
        Topic::Urgency,
        "flags/cold-limb",
        "urgency",
    ),
    (
        "flags/cold-limb.yaml\n- regions: [leg, foot, knee-back]\n+ regions: [foot, knee-back]\n",
        Class::Warning,
        Way::Looser,
        Topic::Flag,
        "flags/cold-limb",
        "regions",
    ),
    (
        "protocols/soleus.yaml\n- hold: 45-60 s, reps: 2 reps\n+ hold: 25 s, reps: 5 reps\n",
        Class::Exposure,
        Way::Looser,
        Topic::Total,
        "protocols/soleus",
        "pressure in a session",
    ),
    (
        "protocols/soleus.yaml\n- rest: 10 s, pain: 5/10\n+ rest: 10 s, pain: 6/10\n",
        Class::Exposure,
        Way::Looser,
        Topic::Peak,
        "protocols/soleus",
        "step 6, highest pain allowed",
    ),
    (
        "protocols/soleus.yaml\n- rest: 10 s, pain\n+ rest: 5 s, pain\n",
        Class::Exposure,
        Way::Looser,
        Topic::Rest,
        "protocols/soleus",
        "step 6, rest",
    ),
    (
        "protocols/soleus.yaml\n- layers: 8 layers\n+ layers: 6 layers\n",
        Class::Exposure,
        Way::Looser,
        Topic::Rest,
        "protocols/soleus",
        "step 5, layers",
    ),
    (
        "protocols/soleus.yaml\n- source: 70 degC\n+ source: 75 degC\n",
        Class::Exposure,
        Way::Looser,
        Topic::Dose,
        "protocols/soleus",
        "step 5, source",
    ),
    ("protocols/soleus.yaml\n- gap: 3-7 d\n+ gap: 2-7 d\n", Class::Exposure, Way::Looser, Topic::Rest, "protocols/soleus", "spacing, gap"),
    (
        "protocols/soleus.yaml\n-   ages: 18-75 y\n+   ages: 16-75 y\n",
        Class::Exposure,
        Way::Looser,
        Topic::Population,
        "protocols/soleus",
        "population, ages",
    ),
    (
        "protocols/soleus.yaml\n-   excludes: [late-pregnancy]\n+   excludes: []\n",
        Class::Exposure,
        Way::Looser,
        Topic::Population,
        "protocols/soleus",
        "population, excludes",
    ),
    (
        "techniques/moist-heat.yaml\n- max: 20 min\n+ max: 30 min\n",
        Class::Exposure,
        Way::Looser,
        Topic::Limit,
        "techniques/moist-heat",
        "limit heat per session",
    ),
    (
        "techniques/moist-heat.yaml\n- every: 5 min\n+ every: 10 min\n",
        Class::Exposure,
        Way::Looser,
        Topic::Interval,
        "techniques/moist-heat",
        "time between two looks",
    ),
    ("pack.yaml\n- pain-cap: 6/10\n+ pain-cap: 7/10\n", Class::Exposure, Way::Looser, Topic::Limit, "pack/house", "pain cap"),
    (
        "pack.yaml\n-   training: [foundation, thermal]\n+   training: [foundation, thermal, internal]\n",
        Class::Exposure,
        Way::Looser,
        Topic::Training,
        "pack/house",
        "scope, training",
    ),
    (
        "protocols/soleus.yaml\n-   - {number: 4, do: \"Test warm, cool, sharp and blunt on both calves.\", technique: sensation-test, target: {muscle: true}, exposure: Lower leg bare., dose: {time: 1-2 min}, basis: house practice}\n",
        Class::Safeguard,
        Way::Looser,
        Topic::SensationTest,
        "protocols/soleus",
        "step 4",
    ),
    (
        "protocols/soleus.yaml\n-   - {number: 9, do: Ask for the pain number again., technique: measurement, measure: calf-pain, when: re-test, dose: {time: 1-2 min}, basis: house practice}\n",
        Class::Safeguard,
        Way::Looser,
        Topic::Retest,
        "protocols/soleus",
        "step 9",
    ),
    (
        "techniques/moist-heat.yaml\n- start: [Sensation test passed., Skin intact.]\n+ start: [Skin intact.]\n",
        Class::Safeguard,
        Way::Looser,
        Topic::Screening,
        "techniques/moist-heat",
        "rules for starting",
    ),
    (
        "techniques/moist-heat.yaml\n- warmth., every: 5 min}\n+ warmth.}\n",
        Class::Exposure,
        Way::Looser,
        Topic::Interval,
        "techniques/moist-heat",
        "monitoring, time between two looks",
    ),
    (
        "positions/prone-feet-over-edge.yaml\n- exposed: [leg, heel, sole, knee-back]\n+ exposed: [leg, heel, sole, knee-back, shin]\n",
        Class::Safeguard,
        Way::Looser,
        Topic::Consent,
        "positions/prone-feet-over-edge",
        "exposed",
    ),
    ("protocols/soleus.yaml\n- side: either\n+ side: left\n", Class::Method, Way::Different, Topic::Place, "protocols/soleus", "side"),
    (
        "protocols/soleus.yaml\n- target: {regions: [calf-inner, calf-outer]}\n-     dose: {time\n+ target: {regions: [calf-inner]}\n+     dose: {time\n",
        Class::Method,
        Way::Different,
        Topic::Place,
        "protocols/soleus",
        "step 5, target",
    ),
    (
        "protocols/soleus.yaml\n- certainty: very low\n+ certainty: low\n",
        Class::Evidence,
        Way::Looser,
        Topic::Evidence,
        "protocols/soleus",
        "certainty",
    ),
    (
        "techniques/sustained-pressure.yaml\n- cite: [{source: house-trial, at: methods}]\n+ cite: [{source: village-trial, at: methods}]\n",
        Class::Evidence,
        Way::Different,
        Topic::Evidence,
        "techniques/sustained-pressure",
        "hold, cited source",
    ),
    (
        "protocols/soleus.yaml\n- change-plan: No change after 3 sessions.\n+ change-plan: No change after 4 sessions.\n",
        Class::Method,
        Way::Different,
        Topic::Method,
        "protocols/soleus",
        "change plan",
    ),
    (
        "protocols/soleus.yaml\n- aftercare: [Sit up slowly and wait a minute., \n+ aftercare: [\n",
        Class::Note,
        Way::Looser,
        Topic::Note,
        "protocols/soleus",
        "aftercare",
    ),
    ("pages/about.md\n+ One more line.\n", Class::Note, Way::Different, Topic::Note, "pages/about", "text"),
    (
        "protocols/soleus.yaml\n- aim: Walk and climb stairs\n+ aim: Walk and take stairs\n",
        Class::Wording,
        Way::Different,
        Topic::Wording,
        "protocols/soleus",
        "aim",
    ),
];

fn has(changes: &[Change], (_, class, way, topic, document, path): &Case, back: bool) -> bool {
    let way = if back { way.back() } else { *way };
    changes.iter().any(|c| {
        let class = if way == Way::Tighter && !matches!(class, Class::Evidence | Class::Note) { Class::Safer } else { *class };
        (c.class, c.way, c.topic, c.document.to_string()) == (class, way, *topic, (*document).to_string()) && c.path.contains(path)
    })
}

#[test]
fn every_class_is_judged_both_ways() {
    for case in CASES {
        let after = edited(case.0);
        let (there, back) = (compare(&BASE, &after), compare(&after, &BASE));
        assert!(has(&there, case, false), "{case:?}\n{}", shown(&there));
        assert!(has(&back, case, true), "back: {case:?}\n{}", shown(&back));
        let class = case.1;
        assert!(demanded(&there) >= Some(class.step()), "{case:?}");
        // A shared document tells its change once.
        let strongest: Vec<_> = there.iter().filter(|c| c.class == class && c.topic == case.3 && c.way == case.2).collect();
        assert_eq!(
            strongest.len(),
            strongest.iter().map(|c| &c.path).collect::<std::collections::BTreeSet<_>>().len(),
            "{}",
            shown(&there)
        );
    }
}

#[test]
fn a_shared_document_tells_its_change_once_and_says_where_it_shows() {
    for edits in [CASES[0].0, CASES[1].0, CASES[3].0, CASES[4].0, CASES[5].0, CASES[6].0, CASES[7].0, CASES[18].0, CASES[23].0, CASES[24].0]
    {
        let changes = compare(&BASE, &edited(edits));
        let own: Vec<_> = changes.iter().filter(|c| c.document.to_string().starts_with("protocols/")).collect();
        assert!(own.is_empty(), "{edits}\n{}", shown(&changes));
        let names: Vec<String> = changes[0].shows_on.iter().map(ToString::to_string).collect();
        assert_eq!(names, ["protocols/soleus", "sessions/calf-visit"], "{edits}\n{}", shown(&changes));
    }
}

#[test]
fn shorter_holds_and_more_of_them_are_a_rise_with_both_totals() {
    let changes = compare(&BASE, &edited(CASES[9].0));
    let total = changes.iter().find(|c| c.topic == Topic::Total && c.path.contains("session")).unwrap();
    assert_eq!((total.old.as_deref(), total.new.as_deref()), (Some("90–120\u{a0}s"), Some("125\u{a0}s")));
    assert!((total.ratio.unwrap() - 125.0 / 120.0).abs() < 1e-12);
    assert!(changes.iter().any(|c| c.way == Way::Tighter && c.path == "step 6, hold"), "{}", shown(&changes));
    assert!(changes.iter().all(|c| c.document.to_string() == "protocols/soleus"), "the session says nothing new: {}", shown(&changes));
}

#[test]
fn order_that_brings_stressors_together_anew_is_told() {
    let text = std::fs::read_to_string(root().join("tests/checks/base/protocols/soleus.yaml")).unwrap();
    let block = |n: u32| {
        let start = text.find(&format!("  - number: {n}\n")).unwrap();
        let end = text[start + 1..].find("\n  - ").unwrap() + start + 2;
        text[start..end].to_string()
    };
    let (press, sweep) = (block(6), block(7));
    let turned = text.replace(
        &format!("{press}{sweep}"),
        &format!("{}{}", sweep.replace("number: 7", "number: 6"), press.replace("number: 6", "number: 7")),
    );
    assert_ne!(turned, text);
    let dir = pack("");
    std::fs::write(dir.path().join("protocols/soleus.yaml"), turned).unwrap();
    let changes = compare(&BASE, &side(dir.path()));
    let meeting: Vec<_> = changes.iter().filter(|c| c.class == Class::Meeting).collect();
    assert!(!meeting.is_empty() && changes[0].class == Class::Meeting, "{}", shown(&changes));
    assert_eq!((meeting[0].old.as_deref(), meeting[0].new.as_deref()), (Some("pressure, then cold"), Some("cold, then pressure")));
    assert_eq!(changes.len(), meeting.len(), "numbers that follow from the order are no lines: {}", shown(&changes));
}

#[test]
fn a_step_put_in_front_moves_no_other() {
    let edits = "protocols/soleus.yaml\n- steps:\n+ steps:\n+   - {number: 1, do: Welcome the person., technique: consent, dose: {time: 1 min}, basis: house practice}\n\
        - {number: 1, do: Ask every\n+ {number: 10, do: Ask every\n";
    let changes = compare(&BASE, &edited(edits));
    let lines: Vec<_> = changes.iter().map(|c| (c.topic, c.way)).collect();
    assert_eq!(lines, [(Topic::Consent, Way::Tighter), (Topic::Note, Way::Different)], "{}", shown(&changes));
}

#[test]
fn a_position_that_was_carried_on_and_is_now_written_is_wording() {
    let edits = "protocols/soleus.yaml\n- technique: moist-heat\n+ technique: moist-heat\n+     position: prone-feet-over-edge\n";
    let changes = compare(&BASE, &edited(edits));
    let lines: Vec<_> = changes.iter().map(|c| (c.class, &*c.path)).collect();
    assert_eq!(lines, [(Class::Wording, "step 5, position")], "{}", shown(&changes));
}

#[test]
fn a_step_that_is_gone_takes_its_cautions_along() {
    let text = std::fs::read_to_string(root().join("tests/checks/base/protocols/soleus.yaml")).unwrap();
    let start = text.find("  - number: 5\n").unwrap();
    let end = text.find("  - number: 6\n").unwrap();
    let dir = pack("");
    std::fs::write(dir.path().join("protocols/soleus.yaml"), format!("{}{}", &text[..start], &text[end..])).unwrap();
    let changes = compare(&BASE, &side(dir.path()));
    assert!(changes.iter().all(|c| !matches!(c.topic, Topic::Caution | Topic::StopRule)), "{}", shown(&changes));
    assert!(changes.iter().any(|c| c.topic == Topic::Step && c.new.is_none()), "{}", shown(&changes));
}

#[test]
fn a_new_name_is_one_line() {
    let dir = pack("");
    std::fs::rename(dir.path().join("techniques/moist-heat.yaml"), dir.path().join("techniques/wet-heat.yaml")).unwrap();
    apply(dir.path(), "techniques/wet-heat.yaml\n- id: moist-heat\n+ id: wet-heat\nprotocols/soleus.yaml\n- technique: moist-heat\n+ technique: wet-heat\n").unwrap();
    let changes = compare(&BASE, &side(dir.path()));
    assert_eq!(changes.len(), 1, "{}", shown(&changes));
    assert_eq!((&*changes[0].path, changes[0].class), ("renamed", Class::Wording));
    apply(dir.path(), "techniques/wet-heat.yaml\n- max: 20 min\n+ max: 25 min\n").unwrap();
    let changes = compare(&BASE, &side(dir.path()));
    assert_eq!(changes.iter().map(|c| c.topic).collect::<Vec<_>>(), [Topic::Limit, Topic::Wording], "{}", shown(&changes));
}

#[test]
fn a_pack_with_itself_says_nothing_and_a_side_outlives_a_run() {
    assert_eq!(compare(&BASE, &BASE), []);
    let demo = side(&root().join("packs/millrace-course"));
    assert_eq!(compare(&demo, &demo), []);
    let text = serde_json::to_string(&demo).unwrap();
    assert_eq!(serde_json::from_str::<Side>(&text).unwrap(), demo);
    assert!(enough("1.0.0", "1.0.0", &[]) && demanded(&[]).is_none());
}

/// Another value for a leaf.
fn other(value: &Value) -> Value {
    match value {
        Value::Bool(b) => Value::Bool(!b),
        Value::Number(n) => Value::from(n.as_f64().unwrap() + 1.0),
        Value::String(text) => Value::String(format!("{text} zz")),
        Value::Object(map) => {
            let mut map = map.clone();
            let most = map.get("most").and_then(Value::as_f64).unwrap_or(1.0);
            map.insert("most".into(), Value::from(most * 1.5 + 1.0));
            Value::Object(map)
        }
        other => other.clone(),
    }
}

/// Places of all leaves and lists, as JSON pointers.
fn places(value: &Value, at: &str, out: &mut Vec<String>) {
    match value {
        Value::Object(map) if !map.contains_key("Quantity") => {
            for (key, inner) in map {
                places(inner, &format!("{at}/{}", key.replace('~', "~0").replace('/', "~1")), out);
            }
        }
        Value::Array(items) => items.iter().enumerate().for_each(|(i, inner)| places(inner, &format!("{at}/{i}"), out)),
        _ => out.push(at.to_string()),
    }
}

fn alone(name: &DocName, content: Value) -> Side {
    let mut side = Side { edition: "1.0.0".into(), ..Side::default() };
    side.documents.insert(name.clone(), (name.id.to_string(), Content::from_value(content)));
    if let Some(derived) = BASE.derived.get(name) {
        side.derived.insert(name.clone(), derived.clone());
    }
    side
}

#[test]
fn no_difference_of_content_is_without_a_line() {
    let mut tried = 0;
    for (name, (_, content)) in &BASE.documents {
        let before = alone(name, content.value().clone());
        let mut all = Vec::new();
        places(content.value(), "", &mut all);
        for place in all {
            let mut value = content.value().clone();
            let leaf = value.pointer_mut(&place).unwrap();
            *leaf = other(leaf);
            let after = alone(name, value);
            let (there, back) = (compare(&before, &after), compare(&after, &before));
            assert!(!there.is_empty() && !back.is_empty(), "{name} {place}");
            assert!(there.iter().all(|c| c.document == *name && (c.old != c.new)), "{name} {place}\n{}", shown(&there));
            tried += 1;
        }
    }
    assert!(tried > 500, "{tried} values");
}

/// Topics and ways of all lines that say looser or tighter, sorted.
fn ways(changes: &[Change], back: bool) -> Vec<(Topic, Way, DocName)> {
    let judged = changes.iter().filter(|c| c.way != Way::Different);
    let mut all: Vec<_> = judged.map(|c| (c.topic, if back { c.way.back() } else { c.way }, c.document.clone())).collect();
    all.sort();
    all
}

/// One change of cells.
fn harm(side: &mut Side, (what, step, amount): (u8, usize, f64)) {
    for derived in side.derived.values_mut().filter(|d| !d.steps.is_empty()) {
        let at = step % derived.steps.len();
        let step = &mut derived.steps[at];
        match what % 7 {
            0 => step.stops.clear(),
            1 => step.cautions.truncate(1),
            2 => step.loads.iter_mut().for_each(|l| l.1 = l.1.map(|p| p * amount)),
            3 => step.monitoring_every = step.monitoring_every.map(|s| s * amount),
            4 => derived.totals.iter_mut().for_each(|t| t.most = t.most.map(|m| m * amount)),
            5 => derived.flags.truncate(1),
            _ => step.monitoring = None,
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn swapping_sides_swaps_looser_and_tighter(
        a in prop::collection::vec((0u8..7, 0usize..12, 0.25f64..4.0), 0..4),
        b in prop::collection::vec((0u8..7, 0usize..12, 0.25f64..4.0), 0..4),
    ) {
        let (mut old, mut new) = (BASE.clone(), BASE.clone());
        a.into_iter().for_each(|x| harm(&mut old, x));
        b.into_iter().for_each(|x| harm(&mut new, x));
        let (there, back) = (compare(&old, &new), compare(&new, &old));
        prop_assert_eq!(ways(&there, false), ways(&back, true));
        prop_assert!(there.is_sorted_by_key(|c| (c.class, c.way)));
        prop_assert!(old != new || there.is_empty());
    }
}

// The command.

fn fascicle(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fascicle")).current_dir(folder).env("FASCICLE_CACHE", "").args(arguments).output().unwrap()
}

fn out(output: &Output) -> (i32, String, String) {
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    (output.status.code().unwrap(), text(&output.stdout), text(&output.stderr))
}

/// A stop rule and a caution go, a dose and a limit rise, a total falls, words change.
const MANY: &str = "techniques/sustained-pressure.yaml\n- stop:\n-   - {sign: numbness or tingling, at: lasts over 10 s, do: release and test feeling, then: end step}\n\
conditions/numb-skin.yaml\n-   heat: never\n+   heat: watch\n\
protocols/soleus.yaml\n- passes: 2-3 passes\n+ passes: 4 passes\n\
protocols/soleus.yaml\n- dose: {time: 10-15 min\n+ dose: {time: 10-30 min\n\
protocols/soleus.yaml\n- stretch: 10-15 s\n+ stretch: 10-12 s\n\
protocols/soleus.yaml\n- certainty: very low\n+ certainty: low\n\
protocols/soleus.yaml\n- aim: Walk and climb\n+ aim: Walk and take\n";

fn two_packs(edits: &str) -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    for name in ["old", "new"] {
        copy(&root().join("tests/checks/base"), &dir.path().join(name)).unwrap();
    }
    apply(&dir.path().join("new"), edits).unwrap();
    dir
}

#[test]
fn the_most_dangerous_stands_first_in_every_form() {
    let dir = two_packs(MANY);
    let (status, json, _) = out(&fascicle(dir.path(), &["compare", "old", "new", "--format", "json"]));
    assert_eq!(status, 0);
    let list: Value = serde_json::from_str(&json).unwrap();
    let changes = list["changes"].as_array().unwrap();
    let classes: Vec<&str> = changes.iter().map(|c| c["class"].as_str().unwrap()).collect();
    let first = |word: &str| classes.iter().position(|c| *c == word).unwrap_or_else(|| panic!("no {word} in {classes:?}"));
    assert_eq!(first("warning"), 0);
    assert!(first("warning") < first("exposure") && first("exposure") < first("evidence"));
    assert!(first("evidence") < first("safer") && first("safer") < first("note") && first("note") < first("wording"));
    let removed: Vec<&str> = changes.iter().filter(|c| c["class"] == "warning").map(|c| c["topic"].as_str().unwrap()).collect();
    assert_eq!(removed, ["stop-rule", "caution"], "what is gone comes before what is weaker");
    let rises: Vec<f64> =
        changes.iter().filter(|c| c["class"] == "exposure" && c["way"] == "looser").filter_map(|c| c["ratio"].as_f64()).collect();
    assert!(rises.len() >= 4 && rises.is_sorted_by(|a, b| a >= b) && (rises[0] - 2.0).abs() < 1e-9, "{rises:?}");
    assert_eq!((&list["demanded"], &list["raised"], &list["enough"]), (&"major".into(), &Value::Null, &false.into()));
    assert_eq!(list["reprint"][0]["document"], "protocols/soleus");
    let flat = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ").replace('\\', "");
    let table = flat(&out(&fascicle(dir.path(), &["compare", "old", "new"])).1);
    let markdown = flat(&out(&fascicle(dir.path(), &["compare", "old", "new", "--format", "markdown"])).1);
    let (status, _, said) = out(&fascicle(dir.path(), &["compare", "old", "new", "--format", "html"]));
    assert_eq!((status, said.as_str()), (0, "wrote the changes to changes/index.html\n"));
    let page = flat(&std::fs::read_to_string(dir.path().join("changes/index.html")).unwrap());
    for (form, text) in [("table", table), ("markdown", markdown), ("page", page)] {
        let mut at = 0;
        for path in changes.iter().map(|c| c["path"].as_str().unwrap()) {
            let found = text[at..].find(&flat(path)).unwrap_or_else(|| panic!("{form}: {path} does not stand behind {}", &text[..at]));
            at += found;
        }
        assert!(text.contains("major step") && text.contains("no medical advice"), "{form}");
    }
}

/// The edition of the demo that was kept before the present one.
#[test]
fn the_kept_edition_of_the_demo_is_compared_most_dangerous_first() {
    let arguments = ["compare", "packs/millrace-course@0.9.0", "packs/millrace-course"];
    let (status, table, _) = out(&fascicle(&root(), &arguments));
    assert_eq!(status, 0);
    let (_, json, _) = out(&fascicle(&root(), &[&arguments[..], &["--format", "json"]].concat()));
    let list: Value = serde_json::from_str(&json).unwrap();
    let changes = list["changes"].as_array().unwrap();
    let brief: Vec<(&str, &str)> = changes.iter().map(|c| (c["topic"].as_str().unwrap(), c["way"].as_str().unwrap())).collect();
    assert_eq!(brief[..2], [("stop-rule", "looser"), ("caution", "looser")], "{brief:?}");
    let rises = changes.iter().skip(2).take_while(|c| c["class"] == "exposure");
    let ratios: Vec<f64> = rises.map(|c| c["ratio"].as_f64().unwrap()).collect();
    assert!(ratios.len() >= 2 && ratios.iter().all(|r| (r - 4.0 / 3.0).abs() < 1e-9), "{ratios:?}");
    let rest: Vec<&str> = changes.iter().skip(2 + ratios.len()).map(|c| c["class"].as_str().unwrap()).collect();
    // What was tightened, then what was only said otherwise.
    let order = |class: &str| ["safer", "note", "wording"].iter().position(|c| *c == class);
    assert!(rest.iter().all(|c| order(c).is_some()) && rest.is_sorted_by_key(|c| order(c)), "{rest:?}");
    assert!(rest.contains(&"safer") && rest.contains(&"note"), "{rest:?}");
    let flat = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let (table, mut at) = (flat(&table), 0);
    for change in changes {
        let path = flat(change["path"].as_str().unwrap());
        at += table[at..].find(&path).unwrap_or_else(|| panic!("{path} does not stand behind {}", &table[..at]));
    }
    assert_eq!(list["old"]["edition"], "0.9.0");
    let (status, _, said) = out(&fascicle(&root(), &["compare", "packs/millrace-course@0.8.0", "packs/millrace-course"]));
    assert!(status == 2 && said.contains("0.8.0"), "{said}");
}

#[test]
fn a_pack_with_itself_is_silent() {
    let dir = two_packs("");
    for form in ["table", "markdown"] {
        assert_eq!(out(&fascicle(dir.path(), &["compare", "old", "new", "--strict", "--format", form])), (0, String::new(), String::new()));
    }
    let (status, json, said) = out(&fascicle(dir.path(), &["compare", "old", "new", "--format", "json"]));
    let list: Value = serde_json::from_str(&json).unwrap();
    assert_eq!((status, said.as_str(), &list["changes"], &list["enough"]), (0, "", &Value::Array(vec![]), &true.into()));
}

#[test]
fn strict_asks_whether_the_edition_was_raised_enough() {
    for (edition, status) in [("1.0.0", 1), ("1.0.1", 1), ("1.1.0", 1), ("2.0.0", 0), ("0.9.0", 1)] {
        let edits =
            if edition == "1.0.0" { MANY.to_string() } else { format!("{MANY}pack.yaml\n- edition: 1.0.0\n+ edition: {edition}\n") };
        let dir = two_packs(&edits);
        let (code, _, said) = out(&fascicle(dir.path(), &["compare", "old", "new", "--strict"]));
        assert_eq!(
            (code, said.contains("demand a major step of the edition, so at least 2.0.0")),
            (status, status == 1),
            "{edition}: {said}"
        );
        assert_eq!(out(&fascicle(dir.path(), &["compare", "old", "new"])).0, 0, "a list is no finding");
    }
}

#[test]
fn a_pack_that_cannot_be_read_is_not_compared() {
    let dir = two_packs("protocols/soleus.yaml\n- technique: moist-heat\n+ technique: dry-heat\n");
    let (status, text, said) = out(&fascicle(dir.path(), &["compare", "old", "new"]));
    assert_eq!((status, text.as_str()), (1, ""));
    assert!(said.contains("dry-heat") && said.contains("nothing was compared, because new has documents"), "{said}");
    let (status, _, said) = out(&fascicle(dir.path(), &["compare", "old", "nowhere"]));
    assert!(status == 2 && said.contains("nowhere"), "{said}");
}

fn git(folder: &Path, arguments: &[&str]) {
    let who = ["-c", "user.name=Test", "-c", "user.email=test@example.org", "-c", "commit.gpgsign=false", "-c", "init.defaultBranch=main"];
    let output = Command::new("git").current_dir(folder).args(who).args(arguments).output().expect("git is there");
    assert!(output.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
}

#[test]
fn a_revision_is_read_without_touching_the_work_tree() {
    let dir = tempfile::tempdir().unwrap();
    let pack = dir.path().join("packs/base");
    copy(&root().join("tests/checks/base"), &pack).unwrap();
    git(dir.path(), &["init", "--quiet"]);
    git(dir.path(), &["add", "."]);
    git(dir.path(), &["commit", "--quiet", "-m", "First"]);
    git(dir.path(), &["tag", "v1"]);
    apply(&pack, "flags/cold-limb.yaml\n- urgency: now\n+ urgency: routine\n").unwrap();
    let (status, text, said) = out(&fascicle(dir.path(), &["compare", "packs/base@v1", "packs/base"]));
    assert_eq!((status, said.as_str()), (0, ""), "{said}");
    assert!(text.contains("packs/base@v1 -> packs/base") && text.contains("now -> routine"), "{text}");
    assert_eq!(out(&fascicle(dir.path(), &["compare", "packs/base@v1", "packs/base@HEAD"])), (0, String::new(), String::new()));
    let status = Command::new("git").current_dir(dir.path()).args(["status", "--porcelain"]).output().unwrap();
    assert_eq!(String::from_utf8_lossy(&status.stdout), " M packs/base/flags/cold-limb.yaml\n");
    std::fs::rename(&pack, dir.path().join("moved")).unwrap();
    let (status, text, _) = out(&fascicle(dir.path(), &["compare", "packs/base@v1", "moved"]));
    assert!(status == 0 && text.contains("now -> routine"), "a folder that is gone today still has its past: {text}");
    for (old, words) in [
        ("moved@v1", "moved did not exist at revision `v1`"),
        ("moved@v9", "git knows no revision `v9` of moved"),
        ("moved@--all", "git knows no revision `--all` of moved"),
    ] {
        let (status, text, said) = out(&fascicle(dir.path(), &["compare", old, "moved"]));
        assert!(status == 2 && text.is_empty() && said.contains(words), "{old}: {said}");
    }
    let alone = two_packs("");
    let (status, _, said) = out(&fascicle(alone.path(), &["compare", "old@v1", "new"]));
    assert!(status == 2 && said.contains("old is not under git"), "{said}");
    let none = Command::new(env!("CARGO_BIN_EXE_fascicle"))
        .current_dir(dir.path())
        .env("PATH", "")
        .args(["compare", "moved@v1", "moved"])
        .output()
        .unwrap();
    let (status, _, said) = out(&none);
    assert!(status == 2 && said.contains("the program `git`, which was not found"), "{said}");
}

#[test]
fn steps_of_the_edition_follow_from_the_class() {
    for (edits, step) in [
        (CASES[0].0, Step::Major),
        ("protocols/soleus.yaml\n- certainty: very low\n+ certainty: low\n", Step::Minor),
        ("protocols/soleus.yaml\n- aim: Walk and climb\n+ aim: Walk and take\n", Step::Patch),
    ] {
        let changes = compare(&BASE, &edited(edits));
        assert_eq!(demanded(&changes), Some(step), "{}", shown(&changes));
        let next = step.beyond("1.4.2").unwrap();
        assert!(enough("1.4.2", &next, &changes) && !enough("1.4.2", "1.4.2", &changes));
    }
}

//! The story behind the ledger: each sweep is within its own limit, and the skin under both is not.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

mod common;
use common::{TODAY, apply, copy, root};
use fascicle::build::judge;
use fascicle::finding::{Finding, Level};
use std::path::Path;

const SECOND_SWEEP: &str = "\
techniques/cold-sweep.yaml
- passes: {allowed: 2-3 passes
+ passes: {allowed: 2-4 passes
protocols/soleus.yaml
- passes: 2-3 passes
+ passes: 3 passes
-   - {number: 9, do: Ask for the pain number again.
+   - number: 9
+     do: Sweep the calf once more from the heel cord up.
+     technique: cold-sweep
+     target: {regions: [calf-inner, calf-outer]}
+     dose: {agent: ice edge, passes: 2-4 passes, speed: 10 cm/s, length: 30 cm, lines: 3 lines}
+     basis: house practice
+   - {number: 10, do: Ask for the pain number again.
";

/// A finding with its places as `path:line`.
struct Told {
    finding: Finding,
    primary: String,
    related: Vec<(String, String)>,
}

fn found(pack: &Path, check: &str) -> Vec<Told> {
    let judged = judge(&[pack.to_path_buf()], TODAY).expect("the pack can be judged");
    let place = |span: fascicle::source::Span| {
        let path = Path::new(judged.loaded.map.path(span.file)).file_name().map(|n| n.to_string_lossy().into_owned());
        format!("{}:{}", path.unwrap_or_default(), judged.loaded.map.position(span.file, span.start).line)
    };
    let findings = judged.findings(TODAY).into_iter().filter(|f| f.check == check);
    findings
        .map(|finding| Told {
            primary: place(finding.primary.span),
            related: finding.related.iter().map(|l| (place(l.span), l.text.clone())).collect(),
            finding,
        })
        .collect()
}

/// Line of the only place where `text` stands in a file of the pack.
fn line_of(pack: &Path, file: &str, text: &str) -> String {
    let content = std::fs::read_to_string(pack.join(file)).expect("the file is there");
    let line = content.lines().position(|l| l.contains(text)).expect("the text is there") + 1;
    format!("{}:{line}", Path::new(file).file_name().expect("has a name").to_string_lossy())
}

fn base() -> tempfile::TempDir {
    let dir = tempfile::tempdir().expect("a folder");
    copy(&root().join("tests/checks/base"), dir.path()).expect("the base pack is copied");
    dir
}

#[test]
fn a_second_sweep_within_its_own_limit_is_too_much_for_the_skin() {
    let pack = base();
    assert!(found(pack.path(), "region-total-exceeded").is_empty(), "the base pack is within its limits");

    apply(pack.path(), SECOND_SWEEP).expect("the step is added");
    assert!(found(pack.path(), "dose-outside-technique").is_empty(), "each sweep alone is allowed");
    let told = found(pack.path(), "region-total-exceeded");
    let [told] = told.as_slice() else { panic!("one finding for one mistake, not {}", told.len()) };

    assert_eq!(told.finding.level, Level::Error);
    let message = told.finding.message.replace('\u{a0}', " ");
    for part in ["cold", "calf, inner half", "calf, outer half", "5 passes at best", "7 passes at worst", "limit is 6 passes"] {
        assert!(message.contains(part), "`{part}` is missing in: {message}");
    }
    let (first, second) = ("do: Sweep the calf from the heel cord up.", "do: Sweep the calf once more");
    assert_eq!(told.primary, line_of(pack.path(), "protocols/soleus.yaml", second));
    let first = line_of(pack.path(), "protocols/soleus.yaml", first);
    let label = told.related.iter().find(|(place, _)| *place == first).map(|(_, text)| text.replace('\u{a0}', " "));
    assert_eq!(label.as_deref(), Some("step 7 adds 3 passes"));
    assert!(told.finding.primary.text.replace('\u{a0}', " ").contains("step 9 adds 2–4 passes"));
    let limit = line_of(pack.path(), "pack.yaml", "per: session, max: 6 passes");
    assert!(told.related.iter().any(|(place, _)| *place == limit), "the limit is named");
}

#[test]
fn two_protocols_of_a_session_are_too_much_for_skin_that_they_share() {
    let pack = base();
    let text = std::fs::read_to_string(pack.path().join("protocols/soleus.yaml")).expect("the protocol is there");
    std::fs::write(pack.path().join("protocols/soleus-late.yaml"), text.replacen("id: soleus", "id: soleus-late", 1)).expect("written");
    let edits = "pack.yaml\n- max: 6 passes\n+ max: 5 passes\nsessions/calf-visit.yaml\n- [soleus]\n+ [soleus, soleus-late]\n";
    apply(pack.path(), edits).expect("the session is changed");

    let mut told = found(pack.path(), "region-total-exceeded");
    told.retain(|t| t.finding.message.starts_with("cold"));
    let [told] = told.as_slice() else { panic!("one finding for one mistake, not {}", told.len()) };
    assert_eq!(told.primary, line_of(pack.path(), "sessions/calf-visit.yaml", "[soleus, soleus-late]"));
    assert!(told.finding.message.replace('\u{a0}', " ").contains("4 passes at best and 6 passes at worst"));
    let steps: Vec<&str> = told.related.iter().filter(|(_, text)| text.contains("step 7 adds")).map(|(place, _)| place.as_str()).collect();
    let both = ["soleus", "soleus-late"]
        .map(|p| line_of(pack.path(), &format!("protocols/{p}.yaml"), "do: Sweep the calf from the heel cord up."));
    assert_eq!(steps, both);
}

/// The two sweeps name different regions; only the drawn lines meet on the inner calf.
const SWEEPS_THAT_MEET: &str = "\
techniques/cold-sweep.yaml
- passes: {allowed: 2-3 passes
+ passes: {allowed: 2-4 passes
protocols/soleus.yaml
- passes: 2-3 passes
+ passes: 3 passes
- target: {regions: [calf-inner, calf-outer]}
-     sweep:
+ target: {regions: [calf-outer]}
+     sweep:
-   - {number: 9, do: Ask for the pain number again.
+   - number: 9
+     do: Sweep the heel cord and on.
+     technique: cold-sweep
+     target: {regions: [heel-cord]}
+     sweep:
+       from: distal
+       leaves-out: [{region: heel, why: Bone.}, {region: calf-outer, why: Swept before.}]
+       paths: [{view: back, path: \"7.8 150.5, 7 142, 6.8 131\"}, {view: back, path: \"11.8 150.5, 12.4 142, 12.5 132\"}]
+     dose: {agent: ice edge, passes: 2-4 passes, speed: 10 cm/s, length: 30 cm, lines: 3 lines}
+     basis: house practice
+   - {number: 10, do: Ask for the pain number again.
";

#[test]
fn skin_between_two_targets_adds_up_as_drawn() {
    let pack = base();
    apply(pack.path(), SWEEPS_THAT_MEET).expect("the step is added");
    let told = found(pack.path(), "region-total-exceeded");
    let message = told.iter().map(|t| t.finding.message.replace('\u{a0}', " ")).collect::<Vec<_>>().join("\n");
    for part in ["cold", "calf, inner half", "5 passes at best", "7 passes at worst"] {
        assert!(message.contains(part), "`{part}` is missing in: {message}");
    }

    // The same words without the lines: no patch of skin is named twice.
    let words = base();
    let (first, rest) = (
        "- target: {regions: [calf-inner, calf-outer]}\n-     sweep:\n+ target: {regions: [calf-outer]}\n+     sweep:\n",
        SWEEPS_THAT_MEET,
    );
    let lines = "-     target: {regions: [calf-inner, calf-outer]}\n-     sweep:\n-       from: distal\n-       leaves-out: [{region: heel, why: Little lies between skin and bone there.}]\n-       paths:\n-         - {view: back, path: \"7.8 145.5, 7 142, 6.8 132\"}\n-         - {view: back, path: \"12 145.5, 12.5 134, 12 132\"}\n+     target: {regions: [calf-outer]}\n";
    let sweep = ["+     sweep:", "+       from:", "+       leaves-out:", "+       paths:"];
    let rest: String = rest.replace(first, lines).split_inclusive('\n').filter(|l| !sweep.iter().any(|p| l.starts_with(p))).collect();
    apply(words.path(), &rest).expect("the steps have no lines");
    assert!(found(words.path(), "region-total-exceeded").is_empty());
}

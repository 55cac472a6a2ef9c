//! Several mistakes in several files are all found in one run, each once, at its very characters.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

mod common;

const EDITS: &str = r"
conditions/late-pregnancy.yaml
- reason: Heat and lying positions call for care.
+ reson: Heat and lying positions call for care.
flags/cold-limb.yaml
- say: This is an emergency and help is on the way.
+ say: This is an emergency and help is on the way.
+ say: Help is on the way.
muscles/soleus.yaml
- source: gray-1918, at: Muscles of the leg}]}
- joints:
+ source: grey-1918, at: Muscles of the leg}]}
+ joints:
positions/prone-feet-over-edge.yaml
- time-limit: 40 min
+ time-limit: 40-30 min
sessions/calf-visit.yaml
- protocols: [soleus]
+ protocols: [sole\e
sources/house-trial.yaml
- comparator: waiting
+ comparator: *waiting
techniques/moist-heat.yaml
- set-up: 2 min
+ set-up: 2 cm
";

#[test]
fn each_mistake_is_found_once_at_its_characters() {
    let dir = tempfile::tempdir().expect("a folder");
    common::copy(&common::root().join("tests/checks/base"), dir.path()).expect("copied");
    common::apply(dir.path(), EDITS).expect("edited");
    let judged = fascicle::build::judge(&[dir.path().to_path_buf()], common::TODAY).expect("runs");
    let map = &judged.loaded.map;
    let prefix = format!("{}/", dir.path().display());
    let found: Vec<(String, &str, &str)> = judged
        .findings(common::TODAY)
        .iter()
        .map(|f| (map.path(f.primary.span.file).replace(&prefix, ""), f.check, map.slice(f.primary.span)))
        .collect();
    let wanted = [
        ("conditions/late-pregnancy.yaml", "unknown-key", "reson"),
        ("flags/cold-limb.yaml", "duplicate-key", "say"),
        ("muscles/soleus.yaml", "link-missing", "grey-1918"),
        ("positions/prone-feet-over-edge.yaml", "range-inverted", "40-30"),
        ("sessions/calf-visit.yaml", "yaml-syntax", "["),
        ("sources/house-trial.yaml", "yaml-feature-refused", "*waiting"),
        ("techniques/moist-heat.yaml", "quantity-dimension", "cm"),
    ];
    let wanted: Vec<(String, &str, &str)> = wanted.iter().map(|(f, c, s)| (f.to_string(), *c, *s)).collect();
    assert_eq!(found, wanted);
}

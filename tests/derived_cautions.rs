//! Nobody types cautions: one new condition reaches every protocol that has such a step, and no
//! other, without any protocol being edited.

#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test fails by panicking")]

use fascicle::compute::Facts;
use fascicle::model::Catalog;
use fascicle::model::docs::Protocol;
use fascicle::model::vocabulary::{Strength, Stressor};
use std::collections::BTreeMap;
use std::path::Path;

mod common;
use common::{TODAY, copy, root};

const NO_HEAT: &str = "\
id: heat-barred
name: A condition that bars heat
question: Does warmth harm you?
scope: general
rules:
  pressure: no restriction
  squeeze: no restriction
  shear: no restriction
  cold: no restriction
  heat: never
  end-range stretch: no restriction
  contraction load: no restriction
  position: no restriction
  topical: no restriction
reason: It is stated for this test.
lasts: {kind: permanent}
basis: common practice
";

/// The base pack with a second muscle, treated twice: once without heat, once with heat at home only.
fn pack(at: &Path) {
    copy(&root().join("tests/checks/base"), at).expect("the base pack can be copied");
    let read = |path: &str| std::fs::read_to_string(at.join(path)).expect("is there");
    let write = |path: &str, text: &str| std::fs::write(at.join(path), text).expect("can be written");
    let muscle = read("muscles/soleus.yaml").replace("id: soleus", "id: plantaris").replace("name: Soleus", "name: Plantaris");
    write("muscles/plantaris.yaml", &muscle);
    let protocol = read("protocols/soleus.yaml").replace("muscle: soleus", "muscle: plantaris");
    let (before, rest) = protocol.split_once("  - number: 5\n").expect("step 5 is the moist pack");
    let (heat, after) = rest.split_once("  - number: 6\n").expect("step 6 follows");
    assert!(heat.contains("moist-heat"));
    let cool = format!("{before}  - number: 6\n{after}");
    write("protocols/plantaris-cool.yaml", &cool.replace("id: soleus", "id: plantaris-cool"));
    let item = "  - name: Warm pack\n    do: Lay the pack on the calf.\n    technique: moist-heat\n    target: {regions: [calf-inner]}\n    dose: {time: 10 min, source: 70 degC, layers: 8 layers}\nspacing:";
    let home = cool.replacen("spacing:", item, 1).replace("id: soleus", "id: plantaris-warm-home");
    write("protocols/plantaris-warm-home.yaml", &home);
}

fn judged(at: &Path) -> (Catalog, Facts) {
    let judged = fascicle::build::judge(&[at.to_path_buf()], TODAY).expect("can be judged");
    (judged.catalog.expect("has a pack file"), judged.facts)
}

/// Conditions of each protocol with their strength, as pages will show them.
fn cautions(catalog: &Catalog, facts: &Facts) -> BTreeMap<String, Vec<(String, Strength)>> {
    let named = |p: &Protocol, list: Vec<(String, Strength)>| (p.head.id.value.to_string(), list);
    catalog
        .protocols
        .iter()
        .map(|(idx, protocol)| {
            let list = facts.of(idx).cautions.iter().map(|c| (catalog.conditions[c.condition].head.id.value.to_string(), c.strength));
            named(protocol, list.collect())
        })
        .collect()
}

#[test]
fn a_condition_that_bars_heat_reaches_every_protocol_with_heat_and_no_other() {
    let dir = tempfile::tempdir().expect("a folder");
    pack(dir.path());
    let (catalog, facts) = judged(dir.path());
    assert_eq!(catalog.protocols.len(), 3, "all three protocols were loaded");
    let before = cautions(&catalog, &facts);

    std::fs::write(dir.path().join("conditions/heat-barred.yaml"), NO_HEAT).expect("can be written");
    let (catalog, facts) = judged(dir.path());
    let after = cautions(&catalog, &facts);

    let mut with_heat = 0;
    for (idx, protocol) in catalog.protocols.iter() {
        let own = facts.of(idx);
        let has_heat = own.steps.iter().chain(&own.home).any(|s| s.load(Stressor::Heat).is_some());
        let id = &*protocol.head.id.value;
        let mut rest = after[id].clone();
        let barred = rest.iter().position(|c| *c == ("heat-barred".to_string(), Strength::Never));
        assert_eq!(barred.is_some(), has_heat, "{id}");
        if let Some(i) = barred {
            rest.remove(i);
            with_heat += 1;
        }
        assert_eq!(rest, before[id], "{id}: nothing else changed");
    }
    assert_eq!(with_heat, 2, "one with heat in the room, one with heat at home");
}

#[test]
fn the_derived_caution_names_the_very_step() {
    let dir = tempfile::tempdir().expect("a folder");
    pack(dir.path());
    std::fs::write(dir.path().join("conditions/heat-barred.yaml"), NO_HEAT).expect("can be written");
    let (catalog, facts) = judged(dir.path());
    for (idx, protocol) in catalog.protocols.iter() {
        let hits = facts
            .of(idx)
            .cautions
            .iter()
            .filter(|c| &*catalog.conditions[c.condition].head.id.value == "heat-barred")
            .flat_map(|c| &c.hits);
        for hit in hits {
            let technique = if hit.home { &protocol.home[hit.step].technique } else { &protocol.steps[hit.step].technique };
            assert_eq!(&*technique.written.value, "moist-heat");
            assert_eq!((hit.stressor, hit.strength), (Stressor::Heat, Strength::Never));
        }
    }
}

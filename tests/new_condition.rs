//! One new condition that bars heat stands on every page and card with a heat step and on no other,
//! with no protocol edited.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod common;
use common::{TODAY, copy, root, unsign};
use fascicle::build;
use fascicle::model::vocabulary::Stressor;

const NAME: &str = "Weals from warmth";
const QUESTION: &str = "Does warm water on your skin bring up weals?";

#[test]
fn a_new_bar_on_heat_reaches_every_page_and_card_with_heat_and_no_other() {
    let dir = tempfile::tempdir().unwrap();
    let pack = dir.path().join("pack");
    copy(&root().join("packs/millrace-course"), &pack).unwrap();
    unsign(&pack);
    let text = format!(
        "id: heat-weals\nname: {NAME}\nquestion: {QUESTION}\nscope: general\nrules:\n  heat: never\n{}reason: Warmth itself sets them off.\n\
         lasts: {{kind: permanent}}\nbasis: common practice\n",
        ["pressure", "squeeze", "shear", "cold", "end-range stretch", "contraction load", "position", "topical"]
            .map(|s| format!("  {s}: no restriction\n"))
            .concat()
    );
    std::fs::write(pack.join("conditions/heat-weals.yaml"), text).unwrap();
    let mut judged = build::judge(&[pack], TODAY).unwrap();
    let site = build::build(&mut judged, &dir.path().join("site"), None, TODAY).unwrap();
    assert!(judged.findings(TODAY).is_empty(), "{:?}", judged.findings(TODAY));
    let catalog = judged.catalog.as_ref().unwrap();
    let (mut with, mut without) = (0, 0);
    for (idx, protocol) in catalog.protocols.iter() {
        let facts = judged.facts.of(idx);
        let heat = facts.steps.iter().chain(&facts.home).any(|s| s.load(Stressor::Heat).is_some());
        *(if heat { &mut with } else { &mut without }) += 1;
        let id = &protocol.head.id.value;
        for (path, words) in [(format!("protocols/{id}.html"), QUESTION), (format!("cards/{id}.html"), NAME)] {
            let file = site.files().iter().find(|f| f.path == path).unwrap();
            assert_eq!(file.text().contains(words), heat, "{path}");
        }
    }
    assert!(with >= 4 && without >= 2, "{with} with heat, {without} without");
}

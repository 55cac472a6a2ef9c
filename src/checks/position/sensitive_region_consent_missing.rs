//! Work on a sensitive region without consent script, chaperone offer, draping rule and record line.

use super::{named, names, tagged, target_at};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::Protocol;
use crate::model::region::Tag;

/// The check.
pub static CHECK: Check = Check {
    name: "sensitive-region-consent-missing",
    summary: "work on a sensitive region without script, chaperone, draping or record",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("sensitive_region_consent_missing.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        let missing = missing(protocol);
        let steps = protocol.steps.iter().zip(&case.facts.of(idx).steps);
        let mut touching = steps.map(|(s, f)| (s, tagged(&f.places, Tag::Sensitive))).filter(|(_, r)| !r.is_empty());
        let Some((step, regions)) = touching.next().filter(|_| !missing.is_empty()) else { continue };
        let list = missing.join(" and ");
        let message = format!("{} works on a sensitive region ({}) without {list}", named(step), names(&regions));
        sink.report(target_at(step), "sensitive", message)
            .also(protocol.title.span, format!("no {list} in this protocol"))
            .help(help(&missing));
    }
}

fn missing(protocol: &Protocol) -> Vec<&'static str> {
    let has = |label: &str| protocol.sensitive.iter().any(|(l, t)| *l == label && !t.value.trim().is_empty());
    let mut missing = Vec::new();
    if protocol.consent.is_empty() {
        missing.push("consent script");
    }
    for (label, word) in [("Chaperone", "chaperone offer"), ("Draping", "draping rule"), ("Record", "record line")] {
        if !has(label) {
            missing.push(word);
        }
    }
    missing
}

fn help(missing: &[&str]) -> String {
    let keys = [("chaperone offer", "chaperone"), ("draping rule", "draping"), ("record line", "record")];
    let wanted: Vec<&str> = keys.iter().filter(|(w, _)| missing.contains(w)).map(|(_, k)| *k).collect();
    let script = if missing.contains(&"consent script") { "add `consent:` with what, where and why; " } else { "" };
    format!("{script}under `sensitive:` add {}", wanted.join(", "))
}

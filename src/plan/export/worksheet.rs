//! The worksheet of a protocol: the inputs of every computed number of heat, cold and stretch, so that
//! anybody can run them again with `fascicle calc`, or change them first.
//!
//! What is written here is read by `calc`; a test runs the worksheets of the demo pack and finds the
//! numbers of its pages. Numbers have all their digits, and the text is the same for the same inputs.

use crate::compute::ProtocolFacts;
use crate::compute::mechanics::{PartStretch, Stretch};
use crate::compute::steps::StepFacts;
use crate::compute::thermal::constants::{Apparatus, source};
use crate::compute::thermal::scenario::{Moving, Resting, Scenario};
use crate::model::docs::{MusclePart, Protocol};
use crate::model::{Catalog, Idx};
use crate::plan::site::Site;
use crate::plan::words;
use std::fmt::Write;

/// True if something of a protocol is computed from inputs of its own.
pub fn has(facts: &ProtocolFacts) -> bool {
    facts.steps.iter().chain(&facts.home).any(|f| f.thermal.is_some() || f.stretch.as_ref().is_some_and(|s| !s.parts.is_empty()))
}

/// The text of `worksheets/<id>.yaml`; `None` where there is nothing to run.
pub fn worksheet(site: &Site<'_>, protocol: Idx<Protocol>) -> Option<String> {
    let (own, facts) = (&site.catalog.protocols[protocol], site.facts.of(protocol));
    if !has(facts) {
        return None;
    }
    let mut entries = String::new();
    for (step, facts) in own.steps.iter().zip(&facts.steps) {
        let name = format!("step-{}", step.number.value);
        entry(site.catalog, &name, &step.action.value, facts, &mut entries);
    }
    for (i, (item, facts)) in own.home.iter().zip(&facts.home).enumerate() {
        entry(site.catalog, &format!("home-{}", i + 1), &item.name.value, facts, &mut entries);
    }
    let head = format!(
        "# {}\n# Run it with: fascicle calc THIS-FILE\nworksheet: 1\ntitle: {}\ncalculations:\n",
        words::USE_NOTE.replace('\n', " "),
        quoted(&own.title.value)
    );
    Some(head + &entries)
}

fn entry(catalog: &Catalog, name: &str, text: &str, facts: &StepFacts, out: &mut String) {
    if let Some(thermal) = &facts.thermal {
        match &thermal.exposure.scenario {
            Scenario::Resting(r) => {
                let kind = if r.source.is_heat() { "heat" } else { "cold" };
                open(&format!("{name}-{kind}"), kind, text, out);
                resting(r, out);
            }
            Scenario::Moving(m) => {
                open(&format!("{name}-cold"), "cold-stream", text, out);
                moving(m, out);
            }
        }
    }
    if let Some(stretch) = &facts.stretch {
        for part in &stretch.parts {
            let Some(written) = catalog.muscles[stretch.muscle].mechanics.get(part.row) else { continue };
            open(&format!("{name}-stretch-{}", slug(&written.name.value)), "stretch", text, out);
            stretched(stretch, part, written, out);
        }
    }
}

fn open(id: &str, kind: &str, text: &str, out: &mut String) {
    let first = text.lines().next().unwrap_or_default().trim();
    let note = if first.is_empty() { String::new() } else { format!("    note: {}\n", quoted(first)) };
    line(out, format_args!("  - id: {id}\n    kind: {kind}\n{note}    inputs:"));
}

fn line(out: &mut String, text: std::fmt::Arguments<'_>) {
    // Writing to a string cannot fail.
    let _ = writeln!(out, "{text}");
}

fn resting(r: &Resting, out: &mut String) {
    line(out, format_args!("      source: {}", r.source.word()));
    if source(r.source).is_none_or(|s| !matches!(s.is, Apparatus::HeldAt(_))) {
        line(out, format_args!("      start_C: {}", r.start));
    }
    line(out, format_args!("      cover: {}\n      layers: {}\n      time_s: {}", r.cover.word(), r.layers, r.seconds));
    line(out, format_args!("      site: {}\n      lying-on-it: {}", site_word(r.limb), r.under));
}

fn moving(m: &Moving, out: &mut String) {
    line(out, format_args!("      source: {}\n      dwell_s: {}", m.source.word(), m.dwell));
    line(out, format_args!("      passes: {}\n      gap_s: {}\n      site: {}", m.passes, m.gap, site_word(m.limb)));
}

fn site_word(limb: bool) -> &'static str {
    if limb { "limb" } else { "trunk" }
}

fn stretched(of: &Stretch, part: &PartStretch, written: &MusclePart, out: &mut String) {
    line(out, format_args!("      arms:"));
    for arm in &written.arms {
        let angles = list(arm.points.iter().map(|p| p.0));
        let arms = list(arm.points.iter().map(|p| p.1));
        line(out, format_args!("        {}: {{angles_deg: [{angles}], arms_mm: [{arms}]}}", arm.joint.id));
    }
    if !written.couplings.is_empty() {
        line(out, format_args!("      couplings:"));
        for c in &written.couplings {
            let (a, b) = c.between;
            line(out, format_args!("        - {{between: [{}, {}], mm_per_rad: {}}}", a.id, b.id, c.mm_per_rad));
        }
    }
    line(out, format_args!("      angles_deg:"));
    for placed in &of.placed {
        line(out, format_args!("        {}: {}", placed.joint.id, placed.degrees));
    }
    if let Some(fibre) = part.part.fibre() {
        line(out, format_args!("      optimal_fibre_mm: {fibre}"));
    }
    line(out, format_args!("      error_mm: {}", part.part.error()));
}

fn list(values: impl Iterator<Item = f64>) -> String {
    values.map(|v| v.to_string()).collect::<Vec<_>>().join(", ")
}

/// A name as part of an id.
fn slug(name: &str) -> String {
    let parts = name.split(|c: char| !c.is_ascii_alphanumeric()).filter(|p| !p.is_empty());
    parts.map(str::to_ascii_lowercase).collect::<Vec<_>>().join("-")
}

/// Text in quotes: JSON text is YAML text.
fn quoted(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}

//! What was found, as text for people and as JSON.

use crate::error::ToolError;
use crate::plan::view::finder::findings::{Flag, Muscle, Reason, Where, Zone};
use crate::plan::view::finder::{Findings, UNDER};
use crate::plan::words::{capital, numbered};

/// One JSON object with full precision.
pub(super) fn json(found: &Findings) -> Result<String, ToolError> {
    serde_json::to_string_pretty(found).map(|text| text + "\n").map_err(|e| super::super::bug(&e.to_string()))
}

/// Text for people: cautions, red flags, muscles, measure.
pub(super) fn table(found: &Findings) -> String {
    let marks: Vec<String> = found.marks.iter().map(|m| format!("{} ({})", m.at.name, m.word)).collect();
    let mut out = format!("Marked: {}\n\n", marks.join("; "));
    for caution in &found.cautions {
        out += &format!("  ! {caution}\n");
    }
    out += "\nRED FLAGS of the marked regions, most urgent first\n";
    found.flags.iter().for_each(|f| out += &flag(f));
    if found.flags.is_empty() {
        out += "  No red flag of these packs belongs to the marked regions. That is no sign that nothing is wrong.\n";
    }
    for topic in &found.not_covered {
        out += &format!("  No red flag of these packs covers {} ({}).\n", topic.topic, names(&topic.at));
    }
    out += "\nMUSCLES with a zone that the marks meet\n";
    if found.muscles.is_empty() {
        out += "  None. A muscle without a drawn zone here can still be sore.\n";
    }
    found.muscles.iter().for_each(|m| out += &muscle(m));
    out += &format!("\nMUSCLES that lie under the marks\n  {UNDER}\n");
    if found.under.is_empty() {
        out += "  None of these packs.\n";
    }
    found.under.iter().for_each(|l| out += &format!("  {}, {} ({}); page: {}\n", l.name, l.side, names(&l.at), l.page));
    out += &format!("\n{}\n", found.measure.join("\n"));
    out
}

fn names(all: &[Where]) -> String {
    all.iter().map(|w| w.name.as_str()).collect::<Vec<_>>().join("; ")
}

fn flag(f: &Flag) -> String {
    let how = f.how.as_ref().map(|h| format!(" {h}")).unwrap_or_default();
    format!(
        "  {}: {} ({})\n      Ask: {}\n      If yes: stop, do not treat. {}: {}.{how} {}\n      Because of: {}\n",
        capital(f.urgency),
        f.name,
        f.page,
        f.question,
        capital(f.clock),
        f.destination,
        f.meanwhile,
        names(&f.at)
    )
}

fn percent(share: f64) -> String {
    // Halves upwards, as the page rounds them.
    format!("{} %", (share * 100.0).round())
}

fn muscle(m: &Muscle) -> String {
    let points: Vec<String> = m.closest.iter().map(ToString::to_string).collect();
    let mut out = format!(
        "  {}, {}. Similarity {:.2}. Its zones cover {} of the marks. {} of its zone is marked (zone of {}).\n",
        m.name,
        m.side,
        (m.similarity * 100.0).round() / 100.0,
        percent(m.covered),
        percent(m.marked),
        numbered("point", "points", &points)
    );
    m.reasons.iter().for_each(|r| out += &format!("      {}\n", reason(r)));
    if !m.look_alikes.is_empty() {
        let others: Vec<&str> = m.look_alikes.iter().map(|o| o.name.as_str()).collect();
        out += &format!("      Looks alike: {}\n", others.join("; "));
    }
    out + &format!("      Page: {}\n", m.page)
}

fn reason(r: &Reason) -> String {
    let zone = |z: &Zone| format!("{} of point {}", z.part, z.point);
    format!("{}, strength {}: {}", r.at.name, r.strength, r.zones.iter().map(zone).collect::<Vec<_>>().join(", "))
}

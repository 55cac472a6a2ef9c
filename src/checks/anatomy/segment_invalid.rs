//! Nerve levels that do not exist, or that do not reach the region of the muscle.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::Muscle;
use crate::model::region::regions;
use crate::source::Text;

/// The check.
pub static CHECK: Check = Check {
    name: "segment-invalid",
    summary: "a nerve level does not exist or does not fit the region",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("segment_invalid.md"),
};

/// Roots from top to bottom.
const ROOTS: [(char, usize); 4] = [('C', 8), ('T', 12), ('L', 5), ('S', 5)];

fn run(case: &Case<'_>, sink: &mut Sink) {
    for muscle in case.catalog.muscles.rows() {
        let fits = limits(muscle);
        for segment in &muscle.segments {
            judge(muscle, segment, fits, sink);
        }
    }
}

fn judge(muscle: &Muscle, segment: &Text, fits: Option<(&str, &str, &str)>, sink: &mut Sink) {
    let written = &*segment.value;
    if is_cranial(written) {
        return;
    }
    let Some(level) = rank(written) else {
        let finding = sink.report(segment.span, "no such level", format!("there is no nerve level `{written}`"));
        match letter_of(written) {
            Some((letter, most)) if most > 0 => {
                finding.help(format!("levels of {letter} run from {letter}1 to {letter}{most}; write one level an item"))
            }
            _ => finding.help("write C1 to C8, T1 to T12, L1 to L5, S1 to S5, or CN1 to CN12; one level an item"),
        };
        return;
    };
    if let Some((limb, first, last)) = fits
        && (rank(first).is_some_and(|f| level < f) || rank(last).is_some_and(|l| level > l))
    {
        let message = format!("{} lies in the {limb}, and {written} does not reach it", muscle.name.value);
        let finding = sink.report(segment.span, format!("not a level of the {limb}"), message);
        if let Some(region) = muscle.regions.written.first() {
            finding.also(region.span, "where the muscle lies");
        }
        finding.help(format!("write a level from {first} to {last}"));
    }
}

/// Place of a root from top to bottom; `None` if there is no such root.
fn rank(text: &str) -> Option<usize> {
    let (letter, most) = letter_of(text)?;
    let digits = text.get(1..)?;
    let number: usize = digits.parse().ok().filter(|n| (1..=most).contains(n) && !digits.starts_with(['0', '+']))?;
    let above: usize = ROOTS.iter().take_while(|(l, _)| *l != letter).map(|(_, n)| n).sum();
    Some(above + number)
}

fn letter_of(text: &str) -> Option<(char, usize)> {
    let first = text.chars().next()?;
    ROOTS.iter().copied().find(|(letter, _)| *letter == first)
}

fn is_cranial(text: &str) -> bool {
    text.strip_prefix("CN").and_then(|n| n.parse::<u8>().ok()).is_some_and(|n| (1..=12).contains(&n))
}

/// Limb in which all regions of the muscle lie, with the first and last root that can reach it.
/// Muscles of the trunk may be supplied from far away and are not judged.
fn limits(muscle: &Muscle) -> Option<(&'static str, &'static str, &'static str)> {
    let all_in = |groups: &[&str]| {
        let places = &muscle.regions.all;
        !places.is_empty() && places.iter().all(|p| groups.contains(&regions().body_part(p.region)))
    };
    if all_in(&["arm", "elbow", "forearm", "hand"]) {
        Some(("arm", "C3", "T2"))
    } else if all_in(&["thigh", "knee", "leg", "foot"]) {
        Some(("leg", "L1", "S4"))
    } else {
        None
    }
}

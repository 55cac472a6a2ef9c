//! Wording that takes a pain zone for a proof.

use crate::checks::text::{Word, parts, words};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::Kind;
use std::ops::Range;

/// The check.
pub static CHECK: Check = Check {
    name: "zone-as-diagnosis",
    summary: "a text says that a pain zone proves a muscle or a cause",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("zone_as_diagnosis.md"),
};

/// What is taken for a proof.
const PATTERNS: [&str; 5] = ["pattern", "patterns", "zone", "zones", "referral"];
/// Verbs of proof.
const PROVES: [&str; 14] = [
    "proves",
    "prove",
    "means",
    "diagnoses",
    "diagnose",
    "confirms",
    "diagnostic",
    "identifies",
    "identify",
    "establishes",
    "pinpoints",
    "pinpoint",
    "certifies",
    "guarantees",
];
/// Takes it back when it stands between or shortly before.
const TAKEN_BACK: [&str; 12] = ["no", "not", "never", "nothing", "none", "cannot", "can't", "nor", "neither", "doesn't", "don't", "alone"];
/// How many words may stand between the two.
const REACH: usize = 5;

fn run(case: &Case<'_>, sink: &mut Sink) {
    // What a publication says in its own title or result is quoted, not claimed.
    for wording in case.catalog.wordings.iter().filter(|w| w.doc.kind != Kind::Source) {
        for part in claims(&wording.text.value) {
            let said = wording.text.value.get(part.clone()).unwrap_or_default().replace('\n', " ");
            sink.report(wording.span_of(part), "a zone proves nothing", format!("the text says `{said}`"))
                .note("Experts agreed that no fixed place of a point or of its zone is to be expected (Delphi study 2018, doi:10.1093/pm/pnx207).")
                .help("say where to look first, for instance `pain here can come from`; and what else it can be");
        }
    }
}

fn claims(text: &str) -> Vec<Range<usize>> {
    let words = words(text);
    let mut out = Vec::new();
    for (i, subject) in words.iter().enumerate().filter(|(_, w)| w.is_any(&PATTERNS)) {
        let reach: Vec<&Word<'_>> = words.iter().skip(i + 1).take(REACH).collect();
        let Some(n) = reach.iter().position(|w| w.is_any(&PROVES)) else { continue };
        let Some(verb) = reach.get(n) else { continue };
        let before = words.iter().take(i).rev().take(2);
        let back = reach.iter().take(n).copied().chain(before).any(|w| w.is_any(&TAKEN_BACK));
        let between = text.get(subject.range.end..verb.range.start).unwrap_or_default();
        if !back && !parts(between) {
            out.push(subject.range.start..verb.range.end);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::claims;

    #[test]
    fn a_zone_is_no_proof_and_may_be_denied_to_be_one() {
        for (text, found) in [
            ("This pattern means the muscle is at fault.", 1),
            ("The pain zone always proves it.", 1),
            ("Such a referral is diagnostic.", 1),
            ("The zone does not prove anything.", 0),
            ("No pattern proves a muscle.", 0),
            ("A zone alone proves nothing.", 0),
            ("Mark the zone. That means: draw it.", 0),
            ("Pain in this zone can come from elsewhere.", 0),
        ] {
            assert_eq!(claims(text).len(), found, "{text}");
        }
    }
}

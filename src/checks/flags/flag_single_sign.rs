//! Wording by which one sign proves or excludes.

use super::{flag_texts, whole_words};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use std::ops::Range;

/// The check.
pub static CHECK: Check = Check {
    name: "flag-single-sign",
    summary: "a flag says that one sign proves or excludes it",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("flag_single_sign.md"),
};

const KEYS: [&str; 6] = ["presentation", "question", "sign", "meanwhile", "say", "safety-net"];

/// Words of proof and of exclusion.
const CERTAIN: [&str; 22] = [
    "always means",
    "can be ruled out",
    "confirms",
    "excludes",
    "is a sure sign",
    "is certain",
    "is diagnostic of",
    "is enough to diagnose",
    "is excluded",
    "is proof",
    "is ruled out",
    "means there is no",
    "pathognomonic",
    "proves",
    "reliably shows",
    "rule it out",
    "rules it out",
    "rules out",
    "ruling it out",
    "settles it",
    "there is no need to worry",
    "without doubt",
];

/// A negation this many words before the phrase, or nearer, takes it back.
const NEAR: usize = 6;
const NEGATIONS: [&str; 12] = ["no", "not", "never", "none", "nothing", "neither", "nor", "cannot", "hardly", "rarely", "doesn't", "until"];

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (flag, wording) in flag_texts(case, &KEYS) {
        let lower = wording.text.value.to_ascii_lowercase();
        let found = CERTAIN.iter().flat_map(|p| whole_words(&lower, p)).filter(|r| !taken_back(&lower, r)).min_by_key(|r| r.start);
        let Some(range) = found else { continue };
        let phrase = wording.text.value.get(range.clone()).unwrap_or_default();
        let message = format!("`{}` says `{phrase}`, as if one sign could settle it", flag.name.value);
        sink.report(wording.span_of(range), "no single sign can", message)
            .note("For the spine, a framework found little evidence that any single flag is accurate (Finucane 2020, doi:10.2519/jospt.2020.9971).")
            .help("say what the sign adds to the whole picture, or write that no single sign settles it");
    }
}

/// True if the same part of the sentence says that it is not so.
fn taken_back(text: &str, range: &Range<usize>) -> bool {
    let before = text.get(..range.start).unwrap_or_default();
    let clause = before.rsplit(['.', ',', ';', '?', '!', ':']).next().unwrap_or_default();
    let words = clause.split(|c: char| !(c.is_alphanumeric() || c == '\'')).filter(|w| !w.is_empty()).rev();
    words.take(NEAR).any(|w| NEGATIONS.contains(&w))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn claims(text: &str) -> bool {
        let lower = text.to_ascii_lowercase();
        CERTAIN.iter().flat_map(|p| whole_words(&lower, p)).any(|r| !taken_back(&lower, &r))
    }

    #[test]
    fn claims_of_proof_are_told_from_their_denial() {
        for text in ["A warm foot rules out a blocked artery.", "It is not cold, which excludes it.", "Swelling Proves it."] {
            assert!(claims(text), "{text}");
        }
        for text in ["No single sign settles it.", "A normal result never rules it out.", "Wait until a scan confirms it.", "It improves."]
        {
            assert!(!claims(text), "{text}");
        }
    }
}

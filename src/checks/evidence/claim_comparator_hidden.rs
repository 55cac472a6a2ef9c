//! `Better` without `than what`.

use crate::checks::text::{sentences, words};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::appraisal::claims::{self, Support};
use crate::finding::Level;
use crate::model::Catalog;
use crate::model::docs::{Claim, ClaimedEffect};
use crate::model::evidence::Direction;
use std::ops::Range;

/// The check.
pub static CHECK: Check = Check {
    name: "claim-comparator-hidden",
    summary: "a claim compares without saying with what, or with something else than its ground",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("claim_comparator_hidden.md"),
};

const COMPARE: [&str; 13] = [
    "better",
    "best",
    "superior",
    "worse",
    "inferior",
    "faster",
    "quicker",
    "stronger",
    "larger",
    "greater",
    "longer",
    "outperforms",
    "beats",
];
/// Words that say with what.
const WITH: [&str; 5] = ["than", "against", "versus", "vs", "compared"];

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (doc, _, claim) in claims::all(case.catalog) {
        let Some(effect) = &claim.effect else { continue };
        if case.english(doc).is_some() {
            in_words(case, claim, sink);
        }
        stated(case.catalog, claim, effect, sink);
    }
}

fn in_words(case: &Case<'_>, claim: &Claim, sink: &mut Sink) {
    let text = &claim.text.value;
    for sentence in sentences(text) {
        if let Some(word) = open(&text[sentence.clone()]) {
            let word = sentence.start + word.start..sentence.start + word.end;
            let message = format!("a claim says `{}` and does not say than what", &text[word.clone()]);
            sink.report(case.place(&claim.text, word), "than what?", message)
                .help("add `than …` or `compared with …`: nothing, a sham, usual care or a rival are far apart");
        }
    }
}

/// A word that compares in a sentence that does not say with what.
fn open(sentence: &str) -> Option<Range<usize>> {
    let all = words(sentence);
    let said = all.iter().any(|w| w.is_any(&WITH)) || pair(&all, "superior", "to") || pair(&all, "inferior", "to");
    if said { None } else { all.iter().find(|w| w.is_any(&COMPARE)).map(|w| w.range.clone()) }
}

fn pair(all: &[crate::checks::text::Word<'_>], first: &str, second: &str) -> bool {
    all.windows(2).any(|two| matches!(two, [a, b] if a.is_any(&[first]) && b.is_any(&[second])))
}

fn stated(catalog: &Catalog, claim: &Claim, effect: &ClaimedEffect, sink: &mut Sink) {
    let support = claims::support(catalog, effect);
    let theirs = support.as_ref().and_then(|s| s.comparator(catalog));
    match (&effect.comparator, theirs) {
        (None, _) => {
            let Some(way) = effect.direction.as_ref().filter(|d| matches!(d.value, Direction::Better | Direction::Worse)) else { return };
            let message = format!("a claim says `{}` and names no comparator", way.value.word());
            let finding = sink.report(way.span, "than what?", message);
            finding.also(claim.text.span, "the claim");
            match theirs {
                Some(theirs) => finding.help(format!("add `comparator: {}`, with which it was compared", theirs.word())),
                None => finding.help("add `comparator`"),
            };
        }
        (Some(own), Some(theirs)) if own.value != theirs => {
            let (of, place) = match support {
                Some(Support::Question { question, .. }) => {
                    let question = &catalog.questions[question];
                    (format!("`{}`", question.head.id.value), question.comparator.as_ref())
                }
                Some(Support::Result { source, result }) => {
                    (format!("result `{}` of `{}`", result.id.value, catalog.sources[source].head.id.value), result.comparator.as_ref())
                }
                None => return,
            };
            let message = format!("a claim compares with {}, and {of} compared with {}", own.value.word(), theirs.word());
            let finding = sink.report(own.span, "the claim", message);
            if let Some(place) = place {
                finding.also(place.span, "what it rests on");
            }
            finding.help(format!("write `comparator: {}` and let the text say so, or rest the claim on another comparison", theirs.word()));
        }
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_comparison_says_with_what() {
        for (sentence, wanted) in [
            ("Pressure may be better.", Some("better")),
            ("Pressure may be better than waiting.", None),
            ("Compared with rest, pressure may be superior.", None),
            ("Pressure may be superior to rest.", None),
            ("Pressure may be superior.", Some("superior")),
            ("It may take longer to work.", Some("longer")),
            ("Pressure may lower tenderness.", None),
        ] {
            assert_eq!(open(sentence).map(|r| &sentence[r]), wanted, "{sentence}");
        }
    }
}

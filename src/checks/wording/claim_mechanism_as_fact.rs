//! A story of how a treatment works, told as a fact without a source.

use super::own_texts;
use crate::checks::phrases::{self, Phrase};
use crate::checks::prose::{Block, Prose};
use crate::checks::text::{Word, taken_back, words};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::source::Span;
use std::collections::BTreeSet;
use std::ops::Range;
use std::sync::LazyLock;

/// The check.
pub static CHECK: Check = Check {
    name: "claim-mechanism-as-fact",
    summary: "a text tells how a treatment works as a fact and names no source",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("claim_mechanism_as_fact.md"),
};

static LIST: LazyLock<Vec<Phrase>> = LazyLock::new(|| phrases::read(include_str!("words/mechanisms.txt")));

/// Make it a guess, a question or what others say.
const DOUBTS: [&str; 25] = [
    "may",
    "might",
    "could",
    "perhaps",
    "maybe",
    "possibly",
    "thought",
    "believed",
    "unknown",
    "unclear",
    "unproven",
    "uncertain",
    "whether",
    "claim",
    "claims",
    "claimed",
    "said",
    "story",
    "stories",
    "myth",
    "myths",
    "idea",
    "theory",
    "once",
    "doubtful",
];

fn run(case: &Case<'_>, sink: &mut Sink) {
    let sourced = sourced(case);
    for (wording, _) in own_texts(case).filter(|(w, _)| !sourced.contains(&w.text.span)) {
        let prose = Prose::of(wording);
        for (sentence, _) in prose.sentences().filter(|(_, block)| !names_source(block)) {
            for (part, instead) in told_as_fact(&prose.text[sentence.clone()]) {
                let part = sentence.start + part.start..sentence.start + part.end;
                let said = prose.said(part.clone());
                sink.report(prose.span(part), "told as a fact", format!("the text says `{said}` and names no source"))
                    .note("How pressure, cold, heat and stretch work is mostly not known; what was measured is a change, not its cause.")
                    .help(if instead.is_empty() { "say what was seen to change, or cite who measured it" } else { instead });
            }
        }
    }
}

/// Claims of documents that name a source.
fn sourced(case: &Case<'_>) -> BTreeSet<Span> {
    let protocols = case.catalog.protocols.rows().iter().flat_map(|p| p.rationale.iter().chain(&p.evidence));
    let harms = case.catalog.techniques.rows().iter().flat_map(|t| &t.harms);
    protocols.chain(harms).filter(|c| !c.ground.cites.is_empty()).map(|c| c.text.span).collect()
}

fn names_source(block: &Block) -> bool {
    block.links.iter().any(|(_, url)| url.starts_with("source:"))
}

/// Parts of a sentence that tell a mechanism as a fact.
fn told_as_fact(sentence: &str) -> Vec<(Range<usize>, &'static str)> {
    let words = words(sentence);
    let doubt = |word: &Word<'_>| word.is_any(&DOUBTS);
    if sentence.trim_end().ends_with('?') {
        return Vec::new();
    }
    let hits = phrases::find(&LIST, &words, sentence).into_iter();
    hits.filter(|hit| {
        let before = words.get(..hit.words.start).unwrap_or_default();
        let first = words.get(hit.words.start);
        !before.iter().any(doubt) && first.is_some_and(|first| !taken_back(before, first, sentence))
    })
    .map(|hit| (hit.range, hit.phrase.instead))
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stories_are_found_and_doubts_and_denials_are_not() {
        for (text, wanted) in [
            ("This breaks up adhesions and flushes toxins out.", vec!["breaks up adhesions", "toxins"]),
            ("It puts the pelvis back in place.", vec!["puts the pelvis back in place"]),
            ("Heat increases blood flow.", vec!["increases blood flow"]),
            ("The fascia is released, and circulation improves.", vec!["fascia is released", "circulation improves"]),
            ("The sweep re-aligns the spine", vec!["re-aligns the spine"]),
            ("Whether it breaks up adhesions is not known.", vec![]),
            ("It does not release fascia.", vec![]),
            ("Some say it may flush toxins.", vec![]),
            ("Does it boost circulation?", vec![]),
            ("Breaks are planned. Knots of the rope hold.", vec![]),
            ("Release the fold slowly.", vec![]),
        ] {
            let found: Vec<&str> = told_as_fact(text).into_iter().map(|(r, _)| &text[r]).collect();
            assert_eq!(found, wanted, "{text}");
        }
    }
}

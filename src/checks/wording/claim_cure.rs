//! A promise that no treatment can keep.

use super::own_texts;
use crate::checks::prose::Prose;
use crate::checks::text::{Word, parts, taken_back, words};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use std::ops::Range;

/// The check.
pub static CHECK: Check = Check {
    name: "claim-cure",
    summary: "a text promises a cure, a guarantee or a lasting end of a complaint",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("claim_cure.md"),
};

/// Promises whatever stands beside them.
const PROMISES: [&str; 17] = [
    "cure",
    "cures",
    "cured",
    "curing",
    "curative",
    "guarantee",
    "guarantees",
    "guaranteed",
    "eliminate",
    "eliminates",
    "eliminated",
    "eliminating",
    "eradicate",
    "eradicates",
    "eradicated",
    "permanently",
    "forever",
];
/// What is promised where `permanent` stands before it.
const LASTING: [&str; 11] =
    ["relief", "result", "results", "effect", "effects", "change", "solution", "fix", "improvement", "recovery", "cure"];

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (wording, _) in own_texts(case) {
        let prose = Prose::of(wording);
        for part in promises(&prose.text) {
            let said = prose.text[part.clone()].replace('\n', " ");
            sink.report(prose.span(part), "nobody can promise this", format!("the text claims `{said}`"))
                .help("say what may change, by how much and on what evidence, for instance `may ease`; or delete the promise");
        }
    }
}

fn promises(text: &str) -> Vec<Range<usize>> {
    let words = words(text);
    let mut found: Vec<Range<usize>> = Vec::new();
    for (i, word) in words.iter().enumerate() {
        let Some(len) = promise(&words[i..], text) else { continue };
        let range = word.range.start..words[i + len - 1].range.end;
        if !taken_back(&words[..i], word, text) && found.last().is_none_or(|last| last.end <= range.start) {
            found.push(range);
        }
    }
    found
}

/// Number of words of the promise that starts here.
fn promise(words: &[Word<'_>], text: &str) -> Option<usize> {
    let (first, second) = (words.first()?, words.get(1));
    let next = |wanted: &[&str]| second.is_some_and(|w| w.is_any(wanted) && !parts(&text[first.range.end..w.range.start]));
    if first.is_any(&PROMISES) {
        return Some(1);
    }
    if first.is_any(&["permanent"]) && next(&LASTING) {
        return Some(2);
    }
    let for_good = |words: &[Word<'_>]| {
        words.len() > 1
            && words[0].is_any(&["for"])
            && words[1].is_any(&["good"])
            && words.get(2).is_none_or(|w| parts(&text[words[1].range.end..w.range.start]))
    };
    let ends = first.is_any(&["heal", "heals", "healed", "gone", "ends", "stops", "goes", "away", "relieved", "rid"]);
    let close = (1..=3).find(|n| words.get(*n..).is_some_and(for_good));
    let joined = |n: usize| !parts(&text[first.range.end..words[n].range.start]);
    close.filter(|n| ends && joined(*n)).map(|n| n + 2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn promises_are_found_and_refusals_are_not() {
        for (text, wanted) in [
            ("Eliminates pain for good.", vec!["Eliminates"]),
            ("It heals the back for good.", vec!["heals the back for good"]),
            ("We guarantee permanent relief.", vec!["guarantee", "permanent relief"]),
            ("This is not a cure. It cures.", vec!["cures"]),
            ("Nobody can guarantee it.", vec![]),
            ("permanent damage to a nerve", vec![]),
            ("skin that heals slowly, for good reason", vec![]),
            ("secure the cured-hide strap", vec!["cured"]),
        ] {
            let found: Vec<&str> = promises(text).into_iter().map(|r| &text[r]).collect();
            assert_eq!(found, wanted, "{text}");
        }
    }
}

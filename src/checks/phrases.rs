//! Lists of phrases that ship with the tool, and where a text uses one.
//!
//! A line of a list is `phrase | words to use instead`. In a phrase `a/b` means either word, `word*` any word
//! that begins so, `..` up to four words of any kind and `...` up to eight. A phrase never reaches over the end
//! of a sentence. Lines that begin with `#` explain.

use crate::checks::text::{Word, parts};
use std::ops::Range;

enum Part {
    /// One of these words, each with true if only its beginning counts.
    Word(Vec<(&'static str, bool)>),
    /// Up to so many words.
    Gap(usize),
}

/// A phrase of a list.
pub struct Phrase {
    parts: Vec<Part>,
    /// What to write instead; empty if the list says nothing.
    pub instead: &'static str,
}

/// Where a phrase stands.
pub struct Hit<'p> {
    /// Bytes of the text.
    pub range: Range<usize>,
    /// Its words.
    pub words: Range<usize>,
    /// The phrase.
    pub phrase: &'p Phrase,
}

/// Reads a list.
pub fn read(list: &'static str) -> Vec<Phrase> {
    let lines = list.lines().map(str::trim).filter(|l| !l.is_empty() && !l.starts_with('#'));
    lines
        .map(|line| {
            let (phrase, instead) = line.split_once('|').unwrap_or((line, ""));
            Phrase { parts: phrase.split_whitespace().map(part).collect(), instead: instead.trim() }
        })
        .collect()
}

fn part(word: &'static str) -> Part {
    match word {
        ".." => Part::Gap(4),
        "..." => Part::Gap(8),
        _ => Part::Word(word.split('/').map(|w| w.strip_suffix('*').map_or((w, false), |stem| (stem, true))).collect()),
    }
}

/// Every use of a phrase, the longest at each place, none inside another.
pub fn find<'p>(phrases: &'p [Phrase], words: &[Word<'_>], text: &str) -> Vec<Hit<'p>> {
    let mut out: Vec<Hit<'p>> = Vec::new();
    for first in 0..words.len() {
        if out.last().is_some_and(|hit| hit.words.end > first) {
            continue;
        }
        let ends = phrases.iter().filter_map(|p| Some((reach(&p.parts, words, first, text)?, p)));
        if let Some((end, phrase)) = ends.max_by_key(|(end, _)| *end)
            && let (Some(from), Some(last)) = (words.get(first), end.checked_sub(1).and_then(|i| words.get(i)))
        {
            out.push(Hit { range: from.range.start..last.range.end, words: first..end, phrase });
        }
    }
    out
}

/// One past the last word of a phrase that starts at word `at`.
fn reach(phrase: &[Part], words: &[Word<'_>], at: usize, text: &str) -> Option<usize> {
    let Some((part, rest)) = phrase.split_first() else { return Some(at) };
    match part {
        Part::Word(options) => {
            let word = words.get(at)?;
            let fits = options.iter().any(|(w, begins)| if *begins { begins_with(word, w) } else { word.is_any(&[w]) });
            let goes_on = rest.is_empty() || joined(words, at, text);
            (fits && goes_on).then(|| reach(rest, words, at + 1, text)).flatten()
        }
        Part::Gap(most) => {
            let steps = (0..=*most).take_while(|n| *n == 0 || joined(words, at + n - 1, text));
            steps.into_iter().find_map(|n| reach(rest, words, at + n, text))
        }
    }
}

fn begins_with(word: &Word<'_>, stem: &str) -> bool {
    let mut letters = word.letters();
    stem.chars().all(|c| letters.next() == Some(c))
}

/// True if the word after this one is in the same clause.
fn joined(words: &[Word<'_>], at: usize, text: &str) -> bool {
    let (Some(word), Some(next)) = (words.get(at), words.get(at + 1)) else { return false };
    !parts(text.get(word.range.end..next.range.start).unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::checks::text::words;

    #[test]
    fn phrases_are_whole_words_inside_a_sentence() {
        let list = read("# a list\ncure/cures | may ease\nbreak*/free* .. adhesion*\nout of place\n");
        let found = |text: &'static str| find(&list, &words(text), text).into_iter().map(|h| &text[h.range]).collect::<Vec<_>>();
        assert_eq!(found("It CURES; curettage and curé do not, nor secure."), ["CURES"]);
        assert_eq!(found("This breaks up the old adhesions."), ["breaks up the old adhesions"]);
        assert_eq!(found("It breaks. The adhesions stay."), Vec::<&str>::new());
        assert_eq!(found("Out-of-place, out of\nplace"), ["Out-of-place", "out of\nplace"]);
        assert_eq!(list[0].instead, "may ease");
    }
}

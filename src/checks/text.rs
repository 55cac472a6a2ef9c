//! Words, paragraphs and numbers of a text with their bytes, for checks that read wording.

use crate::model::unit::UNITS;
use std::ops::Range;

/// A run of letters, digits and apostrophes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Word<'a> {
    /// The word as written.
    pub text: &'a str,
    /// Its bytes.
    pub range: Range<usize>,
}

impl Word<'_> {
    /// True if it is one of these words, whatever the case.
    pub fn is_any(&self, words: &[&str]) -> bool {
        words.iter().any(|w| self.text.eq_ignore_ascii_case(w))
    }
}

/// All words of a text.
pub fn words(text: &str) -> Vec<Word<'_>> {
    let part = |c: char| c.is_alphanumeric() || c == '\'' || c == '’';
    let mut out = Vec::new();
    let mut start = None;
    for (i, c) in text.char_indices().chain([(text.len(), ' ')]) {
        match (start, part(c)) {
            (None, true) => start = Some(i),
            (Some(from), false) => {
                out.push(Word { text: &text[from..i], range: from..i });
                start = None;
            }
            _ => {}
        }
    }
    out
}

/// True if the text between two words ends a sentence or a clause.
pub fn parts(between: &str) -> bool {
    between.contains(['.', '!', '?', ';', ':', '\u{2013}']) || between.contains("\n\n")
}

/// Paragraphs of Markdown that hold prose: blocks between blank lines, without headings and code.
pub fn paragraphs(text: &str) -> Vec<Range<usize>> {
    let mut out: Vec<Range<usize>> = Vec::new();
    let (mut at, mut open, mut fenced) = (0, false, false);
    for line in text.split_inclusive('\n') {
        let here = at..at + line.len();
        at = here.end;
        let shown = line.trim();
        let fence = shown.starts_with("```") || shown.starts_with("~~~");
        fenced ^= fence;
        if shown.is_empty() || fence || fenced || shown.starts_with('#') {
            open = false;
            continue;
        }
        match out.last_mut().filter(|_| open) {
            Some(last) => last.end = here.start + line.trim_end().len(),
            None => out.push(here.start..here.start + line.trim_end().len()),
        }
        open = true;
    }
    out
}

const LONG_UNITS: [&str; 18] = [
    "second", "seconds", "minute", "minutes", "hour", "hours", "day", "days", "week", "weeks", "month", "months", "year", "years",
    "percent", "degrees", "times", "repeats",
];

/// First number with a unit, as `45 s`, `2-3 min` or `10 days`.
pub fn quantity(text: &str) -> Option<Range<usize>> {
    for (i, _) in text.char_indices().filter(|(_, c)| c.is_ascii_digit()) {
        if text[..i].ends_with(|b: char| b.is_alphanumeric() || b == '.') {
            continue;
        }
        let end = i + text[i..].find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(text.len() - i);
        let number = &text[i..end];
        let rest = text[end..].trim_start_matches([' ', '\u{a0}', '\u{202f}', '\n']);
        let unit = unit_at(rest);
        if unit > 0 && number.matches('.').count() < 2 && !number.ends_with('.') {
            return Some(i..text.len() - rest.len() + unit);
        }
    }
    None
}

/// Length of the unit at the start of a text; 0 if there is none.
pub fn unit_at(text: &str) -> usize {
    let symbols = UNITS.iter().flat_map(|u| std::iter::once(u.symbol).chain(u.also.iter().copied()));
    symbols
        .chain(LONG_UNITS)
        .filter(|u| text.starts_with(u) && !text[u.len()..].starts_with(|c: char| c.is_alphanumeric() || c == '-'))
        .map(str::len)
        .max()
        .unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_keep_their_bytes() {
        let found: Vec<_> = words("Don't läuft, ok").into_iter().map(|w| (w.text.to_string(), w.range)).collect();
        assert_eq!(found, [("Don't".into(), 0..5), ("läuft".into(), 6..12), ("ok".into(), 14..16)]);
    }

    #[test]
    fn headings_and_code_are_no_paragraphs() {
        let text = "# A\n\none\ntwo\n\n```\n5 s\n```\nthree\n";
        let found: Vec<&str> = paragraphs(text).into_iter().map(|r| &text[r]).collect();
        assert_eq!(found, ["one\ntwo", "three"]);
    }

    #[test]
    fn numbers_count_only_with_a_unit() {
        for (text, wanted) in [
            ("hold 45 s please", Some("45 s")),
            ("cold of 10 °C.", Some("10 °C")),
            ("by 32.8 %, or", Some("32.8 %")),
            ("week 16 of", None),
            ("23 adults", None),
            ("1.0.0 s", None),
            ("S1 s", None),
            ("up to 2 days", Some("2 days")),
            ("a 2 d-pack", None),
        ] {
            assert_eq!(quantity(text).map(|r| &text[r]), wanted, "{text}");
        }
    }
}

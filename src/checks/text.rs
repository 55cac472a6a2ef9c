//! Words, sentences, paragraphs and numbers of a text with their bytes, for checks that read wording.

use crate::model::unit::UNITS;
use std::ops::Range;
use unicode_normalization::char::is_combining_mark;

/// A run of letters, digits and apostrophes; apostrophes at its ends are quotation marks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Word<'a> {
    /// The word as written.
    pub text: &'a str,
    /// Its bytes.
    pub range: Range<usize>,
}

impl Word<'_> {
    /// True if it is one of these words, whatever the case and the form of an apostrophe.
    pub fn is_any(&self, words: &[&str]) -> bool {
        words.iter().any(|w| self.letters().eq(w.chars()))
    }

    /// Its letters, small, with straight apostrophes.
    pub fn letters(&self) -> impl Iterator<Item = char> + '_ {
        self.text.chars().map(|c| if is_apostrophe(c) { '\'' } else { c }).flat_map(char::to_lowercase)
    }
}

fn is_apostrophe(c: char) -> bool {
    matches!(c, '\'' | '’' | '‘' | 'ʼ')
}

/// True if a character belongs to a word: a letter, a digit, or a mark that is set on one.
pub fn in_word(c: char) -> bool {
    c.is_alphanumeric() || is_combining_mark(c)
}

/// All words of a text.
pub fn words(text: &str) -> Vec<Word<'_>> {
    let mut out = Vec::new();
    let mut start = None;
    for (i, c) in text.char_indices().chain([(text.len(), ' ')]) {
        match (start, in_word(c) || is_apostrophe(c)) {
            (None, true) => start = Some(i),
            (Some(from), false) => {
                let whole = &text[from..i];
                let word = whole.trim_matches(is_apostrophe);
                let from = from + (whole.len() - whole.trim_start_matches(is_apostrophe).len());
                if !word.is_empty() {
                    out.push(Word { text: word, range: from..from + word.len() });
                }
                start = None;
            }
            _ => {}
        }
    }
    out
}

const TAKEN_BACK: [&str; 16] = [
    "no", "not", "never", "nobody", "nothing", "none", "cannot", "can't", "without", "nor", "neither", "doesn't", "don't", "isn't",
    "hasn't", "won't",
];
/// How many words a negation reaches.
const REACH: usize = 5;

/// True if a negation stands shortly before this word, in the same clause.
pub fn taken_back(before: &[Word<'_>], word: &Word<'_>, text: &str) -> bool {
    let mut after = word.range.start;
    for earlier in before.iter().rev().take(REACH) {
        if parts(&text[earlier.range.end..after]) {
            return false;
        }
        if earlier.is_any(&TAKEN_BACK) {
            return true;
        }
        after = earlier.range.start;
    }
    false
}

/// Short forms whose full stop ends no sentence.
const SHORT_FORMS: [&str; 11] = ["e.g", "i.e", "etc", "vs", "dr", "mr", "mrs", "st", "fig", "approx", "cf"];

/// Sentences of running text. A list item or heading needs no full stop.
pub fn sentences(text: &str) -> Vec<Range<usize>> {
    let mut out = Vec::new();
    let mut start = 0;
    let mut push = |from: usize, to: usize| {
        let part = &text[from..to];
        if part.contains(in_word) {
            let lead = part.len() - part.trim_start().len();
            out.push(from + lead..from + part.trim_end().len());
        }
    };
    let mut chars = text.char_indices().peekable();
    while let Some((i, c)) = chars.next() {
        let mut end = i + c.len_utf8();
        let ends = match c {
            '.' => !ends_short_form(&text[start..i]),
            '!' | '?' | '…' => true,
            '\n' => text[end..].starts_with('\n'),
            _ => false,
        };
        if !ends {
            continue;
        }
        while let Some((_, c)) = chars.next_if(|(_, c)| matches!(c, '.' | '!' | '?' | '"' | '”' | '’' | '\'' | ')' | ']')) {
            end += c.len_utf8();
        }
        if text[end..].chars().next().is_none_or(char::is_whitespace) {
            push(start, end);
            start = end;
        }
    }
    push(start, text.len());
    out
}

fn ends_short_form(before: &str) -> bool {
    let last = before.rsplit(|c: char| c.is_whitespace() || c == '(').next().unwrap_or("").to_lowercase();
    SHORT_FORMS.contains(&&*last)
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
    fn words_fold_quotes_and_keep_their_marks() {
        let found = |text: &'static str| words(text).into_iter().map(|w| w.text).collect::<Vec<_>>();
        assert_eq!(found("‘cure’ and 'cured' hasn’t"), ["cure", "and", "cured", "hasn’t"]);
        assert_eq!(found("cure\u{301} de campagne"), ["cure\u{301}", "de", "campagne"]);
        assert!(words("Doesn’t")[0].is_any(&["doesn't"]) && words("ÄRGER")[0].is_any(&["ärger"]));
    }

    #[test]
    fn sentences_end_where_a_reader_ends_them() {
        for (text, wanted) in [
            ("One. Two! Three?", vec!["One.", "Two!", "Three?"]),
            ("Hold 1.5 min, e.g. twice. Then rest", vec!["Hold 1.5 min, e.g. twice.", "Then rest"]),
            ("Say \"stop.\" Then wait.\n\nNext", vec!["Say \"stop.\"", "Then wait.", "Next"]),
            ("Really?! (Yes.) Ünd so…", vec!["Really?!", "(Yes.)", "Ünd so…"]),
            (" . ", vec![]),
        ] {
            let found: Vec<&str> = sentences(text).into_iter().map(|r| &text[r]).collect();
            assert_eq!(found, wanted, "{text}");
        }
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

//! A word that the pack has ruled out.

use crate::checks::prose::Prose;
use crate::checks::text::in_word;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use std::ops::Range;
use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

/// The check.
pub static CHECK: Check = Check {
    name: "protected-words",
    summary: "a text holds a word that the pack has ruled out",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("protected_words.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for wording in case.catalog.wordings.iter().filter(|w| &*w.key != "protected-words") {
        let Some(head) = case.catalog.head(wording.doc) else { continue };
        let banned = &case.pack(head).protected_words;
        if banned.is_empty() {
            continue;
        }
        let prose = Prose::of(wording);
        let seen = folded(&prose.text);
        for word in banned {
            let wanted: Vec<char> = folded(&word.value).into_iter().map(|(c, _)| c).collect();
            for part in places(&seen, &wanted) {
                let said = prose.said(part.clone());
                sink.report(prose.span(part), "ruled out", format!("`{said}` is a word that this pack has ruled out"))
                    .also(word.span, "on this list")
                    .help("use a plain word for the thing itself");
            }
        }
    }
}

/// Letters as they are compared, each with its bytes: composed, small, with one form of apostrophe, hyphen and
/// blank. Two words of a name may stand on two lines.
fn folded(text: &str) -> Vec<(char, Range<usize>)> {
    let mut out: Vec<(char, Range<usize>)> = Vec::new();
    let mut chars = text.char_indices().peekable();
    while let Some((start, c)) = chars.next() {
        let mut end = start + c.len_utf8();
        while let Some((i, mark)) = chars.next_if(|(_, next)| is_combining_mark(*next)) {
            end = i + mark.len_utf8();
        }
        let written = text.get(start..end).unwrap_or_default();
        for c in written.nfc().flat_map(char::to_lowercase) {
            let c = match c {
                '’' | '‘' | 'ʼ' => '\'',
                '\u{2010}' | '\u{2011}' | '\u{2012}' | '\u{2013}' => '-',
                c if c.is_whitespace() => ' ',
                c => c,
            };
            match out.last_mut() {
                Some((' ', range)) if c == ' ' => range.end = end,
                _ => out.push((c, start..end)),
            }
        }
    }
    out
}

/// Where the word stands as a whole word.
fn places(text: &[(char, Range<usize>)], word: &[char]) -> Vec<Range<usize>> {
    if word.iter().all(|c| *c == ' ') {
        return Vec::new();
    }
    let edge = |i: Option<usize>| i.and_then(|i| text.get(i)).is_none_or(|(c, _)| !in_word(*c));
    let hits = text.windows(word.len()).enumerate().filter(|(i, w)| {
        let same = w.iter().map(|(c, _)| c).eq(word);
        same && edge(i.checked_sub(1)) && edge(Some(i + word.len()))
    });
    hits.filter_map(|(_, w)| Some(w.first()?.1.start..w.last()?.1.end)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_found_in_every_form_and_only_whole() {
        for (text, word, wanted) in [
            ("after FROSTJET.", "FrostJet", vec!["FROSTJET"]),
            ("a Frost\u{2011}Jet, frosty-jets", "frost-jet", vec!["Frost\u{2011}Jet"]),
            ("the Ka\u{308}lte\n  Stift", "Kälte Stift", vec!["Ka\u{308}lte\n  Stift"]),
            ("l’éclair, l'Éclair", "l'éclair", vec!["l’éclair", "l'Éclair"]),
            ("curettage and cure", "cure", vec!["cure"]),
            ("İstanbul STRASSE", "Straße", vec![]),
            ("anything", "  ", vec![]),
        ] {
            let wanted_chars: Vec<char> = folded(word).into_iter().map(|(c, _)| c).collect();
            let found: Vec<&str> = places(&folded(text), &wanted_chars).into_iter().map(|r| &text[r]).collect();
            assert_eq!(found, wanted, "{text}");
        }
    }
}

//! A short form whose long form stands nowhere before it.

use super::own_texts;
use crate::checks::prose::Prose;
use crate::checks::text::{Word, words};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::unit::UNITS;
use crate::model::{DocRef, Kind, Wording, quantity};
use crate::source::Span;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

/// The check.
pub static CHECK: Check = Check {
    name: "abbreviation-undefined",
    summary: "a short form is used before it is spelt out",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("abbreviation_undefined.md"),
};

static KNOWN: LazyLock<BTreeSet<&'static str>> = LazyLock::new(|| {
    let lines = include_str!("words/abbreviations.txt").lines().filter(|l| !l.starts_with('#'));
    lines.flat_map(str::split_whitespace).collect()
});

/// Keys that hold codes and not words.
const CODES: [&str; 13] =
    ["id", "kind", "tool", "pooling", "type", "licence", "language", "jurisdiction", "code", "path", "protected-words", "check", "unit"];

/// A longer word in capitals is written so for weight.
const LONGEST: usize = 6;

/// First use of a short form in a document, and where it is spelt out.
#[derive(Default)]
struct Use {
    first: Option<Span>,
    spelt: Option<Span>,
}

fn run(case: &Case<'_>, sink: &mut Sink) {
    let mut documents: BTreeMap<DocRef, BTreeMap<String, Use>> = BTreeMap::new();
    for (wording, _) in own_texts(case).filter(|(w, _)| is_prose(w)) {
        let prose = Prose::of(wording);
        let uses = documents.entry(wording.doc).or_default();
        let words = words(&prose.text);
        for (i, word) in words.iter().enumerate() {
            let Some(short) = short_form(word.text) else { continue };
            let entry = uses.entry(short.to_string()).or_default();
            let span = prose.span(word.range.start..word.range.start + short.len());
            // A name of its own, as in a list of other names, is spelt out by the name beside it.
            let alone = words.len() == 1 && matches!(&*wording.key, "other-names" | "name");
            if alone || is_spelt(&words, i, &prose.text) {
                entry.spelt.get_or_insert(span);
            }
            entry.first.get_or_insert(span);
        }
    }
    for (doc, uses) in documents {
        for (short, used) in uses {
            let Some(first) = used.first.filter(|_| used.spelt.is_none_or(|spelt| used.first.is_some_and(|f| f < spelt))) else { continue };
            let title = case.catalog.title(doc);
            let message = match used.spelt {
                Some(_) => format!("{title} uses `{short}` before it is spelt out"),
                None => format!("{title} never says what `{short}` stands for"),
            };
            let finding = sink.report(first, "first use", message);
            if let Some(spelt) = used.spelt {
                finding.also(spelt, "spelt out here");
            }
            finding.help(format!("write the long form first and `({short})` after it, or do without the short form"));
        }
    }
}

fn is_prose(wording: &Wording) -> bool {
    // The licence of a measure is told in words.
    let coded = CODES.contains(&&*wording.key) && !(wording.doc.kind == Kind::Measure && &*wording.key == "licence");
    !coded && quantity::parse(wording.text.value.trim()).is_err()
}

/// The short form in a word: capitals only (`ROM`, `MRIs`) or nearly (`TrP`); a plural s is left off.
fn short_form(word: &str) -> Option<&str> {
    let word = word.strip_suffix("'s").or_else(|| word.strip_suffix("’s")).unwrap_or(word);
    let word = word.strip_suffix('s').filter(|w| w.chars().all(char::is_uppercase)).unwrap_or(word);
    let (upper, lower) = (word.chars().filter(|c| c.is_uppercase()).count(), word.chars().filter(|c| c.is_lowercase()).count());
    let digits = word.chars().any(char::is_numeric);
    let mixed = lower <= 1 && word.chars().count() <= 5 && word.chars().next_back().is_some_and(char::is_uppercase);
    let known = KNOWN.contains(word) || UNITS.iter().any(|u| u.symbol == word || u.also.contains(&word)) || is_roman(word);
    ((2..=LONGEST).contains(&upper) && !digits && (lower == 0 || mixed) && !known).then_some(word)
}

fn is_roman(word: &str) -> bool {
    word.chars().all(|c| matches!(c, 'I' | 'V' | 'X'))
}

/// `trigger point (TrP)` or `TrP (trigger point)`, with a long form that has its letters in order.
fn is_spelt(words: &[Word<'_>], i: usize, text: &str) -> bool {
    let Some(word) = words.get(i) else { return false };
    let short = short_form(word.text).unwrap_or(word.text);
    let before = text.get(..word.range.start).unwrap_or_default();
    if before.trim_end_matches(['"', '“', '\'', '‘']).ends_with('(') {
        let long: String =
            words.get(i.saturating_sub(short.chars().count() + 3)..i).unwrap_or_default().iter().flat_map(Word::letters).collect();
        return holds(&long, short);
    }
    let after = text.get(word.range.end..).unwrap_or_default().trim_start();
    let inside = after.strip_prefix('(').and_then(|rest| rest.split(')').next());
    inside.is_some_and(|long| holds(&long.to_lowercase(), short))
}

/// True if the letters of the short form stand in this order in the long one.
fn holds(long: &str, short: &str) -> bool {
    let mut letters = long.chars();
    short.chars().flat_map(char::to_lowercase).all(|s| letters.any(|l| l == s))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn short_forms_are_capitals_and_neither_units_nor_names() {
        for (word, wanted) in [
            ("TrP", Some("TrP")),
            ("MTrP", Some("MTrP")),
            ("ROM", Some("ROM")),
            ("MRIs", Some("MRI")),
            ("kPa", None),
            ("L5", None),
            ("McGill", None),
            ("Lu", None),
            ("II", None),
            ("STOP", None),
            ("UK", None),
            ("SHARPLY", None),
            ("ÖGB", Some("ÖGB")),
            ("WHO’s", Some("WHO")),
        ] {
            assert_eq!(short_form(word), wanted, "{word}");
        }
    }

    #[test]
    fn a_long_form_beside_it_spells_it_out() {
        for (text, wanted) in [
            ("a trigger point (TrP) here", true),
            ("a TrP (trigger point) here", true),
            ("range of movement (“ROM”)", true),
            ("in the neck (TrP)", false),
            ("the TrP here (see there)", false),
        ] {
            let words = words(text);
            let i = words.iter().position(|w| short_form(w.text).is_some()).unwrap();
            assert_eq!(is_spelt(&words, i, text), wanted, "{text}");
        }
    }
}

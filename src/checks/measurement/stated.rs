//! Changes that a sentence states in numbers, as `pain has fallen by 2 points`. English only.

use crate::checks::text::{Word, words};
use crate::model::unit::Dim;
use std::ops::Range;

/// A stated change.
#[derive(Clone, Debug, PartialEq)]
pub struct Stated {
    /// Bytes of number and unit.
    pub range: Range<usize>,
    /// Amount in base units, the least of a range.
    pub amount: f64,
    /// What it measures.
    pub dim: Dim,
}

/// Units of measures in sentences, longest first where one starts another.
const UNITS: [(&str, Dim, f64); 13] = [
    ("points", Dim::Pain, 1.0),
    ("point", Dim::Pain, 1.0),
    ("out of 10", Dim::Pain, 1.0),
    ("/10", Dim::Pain, 1.0),
    ("degrees", Dim::Angle, 1.0),
    ("deg", Dim::Angle, 1.0),
    ("°", Dim::Angle, 1.0),
    ("kPa", Dim::Pressure, 1000.0),
    ("kgf/cm2", Dim::Pressure, 98_066.5),
    ("percent", Dim::Percent, 1.0),
    ("%", Dim::Percent, 1.0),
    ("mm", Dim::Length, 0.001),
    ("cm", Dim::Length, 0.01),
];
const COUNTS: [(&str, f64); 6] = [("one", 1.0), ("two", 2.0), ("three", 3.0), ("four", 4.0), ("five", 5.0), ("six", 6.0)];
/// May stand between the word of change and the number.
const FILLERS: [&str; 11] = ["at", "least", "more", "than", "about", "roughly", "only", "a", "an", "or", "full"];
const NOUNS: [&str; 12] =
    ["change", "changes", "gain", "fall", "drop", "rise", "improvement", "difference", "reduction", "increase", "decrease", "loss"];
/// Behind a number with a unit, these make it a change.
const BETTER: [&str; 9] = ["better", "less", "lower", "more", "further", "higher", "worse", "down", "up"];

/// All changes that a text states.
pub fn changes(text: &str) -> Vec<Stated> {
    let all = words(text);
    let mut out: Vec<Stated> = Vec::new();
    for (i, word) in all.iter().enumerate() {
        let Some((amount, number_end)) = number(text, word) else { continue };
        let rest = text.get(number_end..).unwrap_or_default();
        let unit_at = number_end + rest.len() - rest.trim_start_matches([' ', '\u{a0}', '\n']).len();
        let Some((unit, dim, factor)) = UNITS.iter().find(|(u, ..)| ends_word(text, unit_at, u)) else { continue };
        let range = word.range.start..unit_at + unit.len();
        let follows = all.iter().find(|w| w.range.start >= range.end);
        let better = follows.is_some_and(|w| w.is_any(&BETTER) && text[range.end..w.range.start].trim().is_empty());
        let seen = out.last().is_some_and(|s| s.range.end > range.start);
        if !seen && (better || all.get(..i).is_some_and(changed)) {
            out.push(Stated { range, amount: amount * factor, dim: *dim });
        }
    }
    out
}

/// True if the words before a number make it a change.
fn changed(before: &[Word<'_>]) -> bool {
    let mut back = before.iter().rev().skip_while(|w| w.is_any(&FILLERS));
    match back.next() {
        Some(w) if w.is_any(&["by"]) => true,
        Some(w) if w.is_any(&["of"]) => back.next().is_some_and(|n| n.is_any(&NOUNS)),
        _ => false,
    }
}

fn ends_word(text: &str, at: usize, unit: &str) -> bool {
    let rest = text.get(at..).unwrap_or_default();
    rest.starts_with(unit) && !rest.get(unit.len()..).unwrap_or_default().starts_with(char::is_alphanumeric)
}

/// A number that starts at a word, and where it ends; of a range the low end.
fn number(text: &str, word: &Word<'_>) -> Option<(f64, usize)> {
    if let Some((_, n)) = COUNTS.iter().find(|(w, _)| word.is_any(&[w])) {
        return Some((*n, word.range.end));
    }
    if text.get(..word.range.start)?.ends_with(['.', ',']) || !word.text.starts_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let from = word.range.start;
    let (first, end) = digits(text, from)?;
    let dash = text.get(end..)?.trim_start_matches(' ');
    let after = ["-", "–", "to "].iter().find_map(|d| dash.strip_prefix(d)).map(|r| text.len() - r.trim_start().len());
    Some((first, after.and_then(|at| digits(text, at)).map_or(end, |(_, end)| end)))
}

fn digits(text: &str, at: usize) -> Option<(f64, usize)> {
    let rest = text.get(at..)?;
    let len = rest.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(rest.len());
    let body = rest.get(..len)?.trim_end_matches('.');
    Some((body.parse().ok()?, at + body.len()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(text: &str) -> Vec<(String, f64)> {
        changes(text).into_iter().map(|s| (text[s.range].to_string(), s.amount)).collect()
    }

    #[test]
    fn a_change_needs_a_word_of_change_and_a_unit() {
        for (text, wanted) in [
            ("Go on if pain has fallen by 2 points.", vec![("2 points", 2.0)]),
            ("Go on if pain has fallen by at least 1.5 points.", vec![("1.5 points", 1.5)]),
            ("A gain of more than 5-8 deg counts.", vec![("5-8 deg", 5.0)]),
            ("Two points better is enough.", vec![("Two points", 2.0)]),
            ("Rotation grew by 10\u{a0}°.", vec![("10\u{a0}°", 10.0)]),
            ("The threshold rose by 30 kPa.", vec![("30 kPa", 30_000.0)]),
            ("Pain above 5/10 stops the step.", vec![]),
            ("Decide after 3 sessions.", vec![]),
            ("Press point 2 by the edge.", vec![]),
            ("Grown by more than the error.", vec![]),
        ] {
            let wanted: Vec<(String, f64)> = wanted.into_iter().map(|(t, n)| (t.to_string(), n)).collect();
            assert_eq!(found(text), wanted, "{text}");
        }
    }

    proptest::proptest! {
        #[test]
        fn every_stated_change_lies_in_the_text(text in "(by|of|gain|2|1\\.5|points|°|é|–| |\\.|-){0,20}") {
            for s in changes(&text) {
                proptest::prop_assert!(text.get(s.range).is_some());
            }
        }
    }
}

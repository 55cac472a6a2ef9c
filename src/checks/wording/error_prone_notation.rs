//! Forms of number, unit and side that are known to be misread.
//!
//! The loader reports the same name where a quantity itself is written so; here it is prose.

use crate::checks::text::unit_at;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::{Kind, Wording, quantity};
use std::ops::Range;

/// The check.
pub static CHECK: Check = Check {
    name: "error-prone-notation",
    summary: "a number, unit or side is written in a form that is known to be misread",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("error_prone_notation.md"),
};

struct Slip {
    at: Range<usize>,
    why: &'static str,
    write: String,
}

fn run(case: &Case<'_>, sink: &mut Sink) {
    for wording in case.catalog.wordings.iter().filter(|w| is_prose(w)) {
        let text = &wording.text.value;
        for slip in slips(text) {
            let message = format!("`{}` is written in a form that is known to be misread", &text[slip.at.clone()]);
            sink.report(wording.span_of(slip.at), slip.why, message).help(slip.write);
        }
    }
}

/// A value that is nothing but a quantity was judged by the loader. Results of a publication keep the
/// digits that it printed.
fn is_prose(wording: &Wording) -> bool {
    if wording.doc.kind == Kind::Source {
        return false;
    }
    let text = wording.text.value.trim();
    let bare = quantity::parse(text).is_ok() || quantity::parse(text).is_err_and(|e| e.kind == quantity::QuantityMistake::Notation);
    !(bare && text.split_whitespace().count() <= 2) || &*wording.key == "at"
}

fn slips(text: &str) -> Vec<Slip> {
    let mut out = Vec::new();
    let mut at = 0;
    while let Some(c) = text[at..].chars().next() {
        let before = text[..at].chars().next_back();
        let found = match c {
            '.' if !before.is_some_and(|b| b.is_alphanumeric() || b == '.') => naked_point(text, at),
            '0'..='9' if !before.is_some_and(|b| b.is_alphanumeric() || b == '.') => number(text, at),
            'x' if !before.is_some_and(char::is_alphanumeric) => over_days(text, at, at + 1),
            'L' | 'R' => side(text, at, before),
            _ => None,
        };
        at = found.as_ref().map_or(at + c.len_utf8(), |slip| slip.at.end);
        out.extend(found);
    }
    out
}

fn digits(text: &str, from: usize) -> usize {
    from + text[from..].bytes().take_while(u8::is_ascii_digit).count()
}

fn naked_point(text: &str, at: usize) -> Option<Slip> {
    let end = digits(text, at + 1);
    let alone = !text[end..].starts_with(|c: char| c.is_alphabetic() || c == '.');
    (end > at + 1 && alone).then(|| Slip {
        at: at..end,
        why: "a naked decimal point is read as ten times more",
        write: format!("write `0{}`", &text[at..end]),
    })
}

fn number(text: &str, at: usize) -> Option<Slip> {
    let whole = digits(text, at);
    let mut end = whole;
    if text[whole..].starts_with('.') && digits(text, whole + 1) > whole + 1 {
        end = digits(text, whole + 1);
        let gap = text[end..].len() - text[end..].trim_start_matches([' ', '\u{a0}']).len();
        if text[whole + 1..end].bytes().all(|b| b == b'0') && unit_at(&text[end + gap..]) > 0 {
            let write = format!("write `{}`", &text[at..whole]);
            return Some(Slip { at: at..end, why: "a trailing zero is read as ten times more", write });
        }
    }
    let rest = &text[end..];
    let closes_speech = text[..at].matches('"').count() % 2 == 1;
    if rest.starts_with('"') && !closes_speech {
        let why = "seconds, inches or the end of speech";
        return Some(Slip { at: at..end + 1, why, write: "write the unit as a word or symbol, for instance `s` or `cm`".into() });
    }
    let unit = if rest.starts_with(|c: char| c.is_ascii_alphabetic()) { unit_at(rest) } else { 0 };
    if unit > 0 && !is_decade(text, at, end) {
        let write = format!("write `{} {}`", &text[at..end], &rest[..unit]);
        return Some(Slip { at: at..end + unit, why: "number and unit run together", write });
    }
    over_days(text, at, at)
}

/// `1990s` and `in her 30s` are no seconds.
fn is_decade(text: &str, at: usize, end: usize) -> bool {
    let before = text[..at].trim_end().rsplit(' ').next().unwrap_or("").to_lowercase();
    text[end..].starts_with('s') && (end - at == 4 || ["their", "his", "her", "the", "early", "mid", "late"].contains(&&*before))
}

/// `2/7`, `x3/52`: days and weeks to some readers, fractions to others.
fn over_days(text: &str, start: usize, from: usize) -> Option<Slip> {
    let over = digits(text, from);
    let end = digits(text, over + usize::from(text[over..].starts_with('/')));
    let days = over > from && over - from <= 2 && ["/7", "/52"].contains(&&text[over..end]);
    let goes_on = text[end..].starts_with(|c: char| c.is_alphanumeric() || c == '/');
    (days && !goes_on).then(|| Slip {
        at: start..end,
        why: "days or weeks to some readers, a fraction to others",
        write: "write days or weeks as a word or symbol, for instance `2 d` or `3 wk`".into(),
    })
}

fn side(text: &str, at: usize, before: Option<char>) -> Option<Slip> {
    let rest = &text[at + 1..];
    let inside = |c: char| c.is_alphanumeric() || matches!(c, '\'' | '’' | '.' | '&' | '-');
    let level = rest.trim_start().starts_with(|c: char| c.is_ascii_digit());
    if before.is_some_and(inside) || rest.starts_with(inside) || level {
        return None;
    }
    let word = if text[at..].starts_with('L') { "left" } else { "right" };
    Some(Slip { at: at..at + 1, why: "a lone letter for a side", write: format!("write `{word}` if the side is meant") })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn forms_that_are_misread_are_found_at_their_characters() {
        for (text, wanted) in [
            ("wait .5 min", vec![".5"]),
            ("wait 1.0 s now", vec!["1.0"]),
            ("hold 5\" more", vec!["5\""]),
            ("hold 30s, then 15min", vec!["30s", "15min"]),
            ("come x2/7 or 3/52", vec!["x2/7", "3/52"]),
            ("L calf (R)", vec!["L", "R"]),
            ("edition 1.0.0, 0.5 min, S1, L5, L 4, v1.0", vec![]),
            ("say \"stop at 5\" and wait", vec![]),
            ("people in their 30s, the 1990s, pain 5/10", vec![]),
            ("and so on. 5 more ... .", vec![]),
        ] {
            let found: Vec<&str> = slips(text).into_iter().map(|s| &text[s.at]).collect();
            assert_eq!(found, wanted, "{text}");
        }
    }
}

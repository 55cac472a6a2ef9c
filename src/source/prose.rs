//! From a place in decoded text back to the bytes in the file.
//!
//! Only plain one-line text has the same offsets as its source. Folded and indented text keeps its
//! visible characters in order, so it is aligned on those; text with escapes cannot be aligned and
//! yields the whole value, never a wrong place.

use super::Span;
use std::ops::Range;

/// Bytes in the file of `decoded[part]`, where `raw` is the source of the value at `span`.
pub fn locate(raw: &str, decoded: &str, part: Range<usize>, span: Span) -> Span {
    let start = span.start as usize;
    let at = |r: Range<usize>| Span::new(span.file, start + r.start, start + r.end);
    if let Some(offset) = raw.find(decoded)
        && !decoded.is_empty()
    {
        return at(offset + part.start..offset + part.end);
    }
    align(raw, decoded, part).map_or(span, at)
}

/// Skips quotes and a block header; `None` where escapes make the two differ.
fn align(raw: &str, decoded: &str, part: Range<usize>) -> Option<Range<usize>> {
    let body = match raw.as_bytes().first()? {
        b'|' | b'>' => raw.find('\n')? + 1,
        b'"' | b'\'' => 1,
        _ => 0,
    };
    let visible = |(_, c): &(usize, char)| !c.is_whitespace();
    // In single quotes a quote is written twice.
    let doubled = |(i, c): &(usize, char)| {
        *c == '\''
            && raw.starts_with('\'')
            && raw.get(body..body + i).is_some_and(|b| b.chars().rev().take_while(|c| *c == '\'').count() % 2 == 1)
    };
    let mut source = raw.get(body..)?.char_indices().filter(visible).filter(|at| !doubled(at));
    let (mut first, mut last) = (None, None);
    for (offset, wanted) in decoded.char_indices().filter(visible) {
        let (i, found) = source.next()?;
        if found != wanted {
            return None;
        }
        if offset >= part.start && offset < part.end {
            first.get_or_insert(body + i);
            last = Some(body + i + found.len_utf8());
        }
        if offset >= part.end {
            break;
        }
    }
    Some(first?..last?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::FileId;

    fn found(raw: &str, decoded: &str, word: &str) -> String {
        let start = decoded.find(word).unwrap();
        let span = Span::new(FileId(0), 0, raw.len());
        raw[locate(raw, decoded, start..start + word.len(), span).range()].to_string()
    }

    #[test]
    fn words_are_found_in_every_scalar_style() {
        let cases = [
            ("press for a minute", "press for a minute", "a minute"),
            ("\"press é for 30 s\"", "press é for 30 s", "30 s"),
            (">\n    hold it\n    for 30 s\n", "hold it for 30 s\n", "30 s"),
            ("|\n  first\n\n  hold 30 s\n", "first\n\nhold 30 s\n", "hold 30 s"),
            ("'it''s held for 30 s'", "it's held for 30 s", "30 s"),
            ("hold it\r\n    for 30 s", "hold it for 30 s", "30 s"),
        ];
        for (raw, decoded, word) in cases {
            assert_eq!(found(raw, decoded, word), word, "{raw:?}");
        }
    }

    #[test]
    fn escaped_text_yields_the_whole_value() {
        assert_eq!(found("\"a\\tb 30 s\"", "a\tb 30 s", "30 s"), "\"a\\tb 30 s\"");
    }
}

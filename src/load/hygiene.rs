//! Characters that make a page show something else than what was typed, found in the raw text
//! before YAML is read.

use crate::finding::{Finding, Level};
use crate::source::{FileId, Span};

/// Control, zero-width and direction characters, and tabs.
pub fn check(file: FileId, text: &str, findings: &mut Vec<Finding>) {
    for (offset, c) in text.char_indices() {
        let Some(what) = suspicious(c) else { continue };
        if c == '\u{feff}' && offset == 0 {
            continue;
        }
        let span = Span::new(file, offset, offset + c.len_utf8());
        let message = format!("{what} (U+{:04X}) stands in the text", c as u32);
        let mut finding = Finding::new("text-hygiene", Level::Error, span, "not visible, but it changes what is read", message);
        finding.help(if c == '\t' { "use blanks" } else { "delete it" });
        findings.push(finding);
    }
}

fn suspicious(c: char) -> Option<&'static str> {
    match c {
        '\t' => Some("a tab"),
        '\n' | '\r' => None,
        '\u{200b}'..='\u{200d}' | '\u{2060}' | '\u{feff}' | '\u{00ad}' => Some("a zero-width character"),
        '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{061c}' => Some("a text-direction character"),
        c if c.is_control() => Some("a control character"),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hidden_characters_are_found_and_a_leading_mark_is_not() {
        let mut findings = Vec::new();
        check(FileId(0), "\u{feff}hold: 5\u{202e}-10 s\nümläut: é\n", &mut findings);
        assert_eq!(findings.len(), 1);
        assert_eq!(findings[0].primary.span, Span::new(FileId(0), 10, 13));
    }
}

//! Text that somebody meant to replace.

use crate::checks::text::words;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use std::ops::Range;

/// The check.
pub static CHECK: Check = Check {
    name: "placeholder-left",
    summary: "a text still holds a placeholder",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("placeholder_left.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for wording in &case.catalog.wordings {
        let text = &wording.text.value;
        if let Some(part) = placeholder(text, wording.markdown) {
            let message = format!("`{}` is a placeholder under `{}`", &text[part.clone()], wording.key);
            sink.report(wording.span_of(part), "to be replaced", message)
                .help("write what belongs here; if it is not settled, move the question to `open-questions` of the pack and delete this");
        }
    }
}

/// The first placeholder of a text. In Markdown an angle bracket is HTML, which is refused elsewhere.
fn placeholder(text: &str, markdown: bool) -> Option<Range<usize>> {
    let marks = |w: &str| {
        let x = w.len() > 1 && w.bytes().all(|b| b == b'x' || b == b'X');
        matches!(w, "TODO" | "TBC" | "TBD" | "FIXME") || (x && !is_roman(w))
    };
    let word = words(text).into_iter().find(|w| marks(w.text)).map(|w| w.range);
    let whole = ["todo", "tbc", "tbd", "?", "??", "???", "…", "lorem ipsum"].contains(&text.trim().to_lowercase().as_str());
    let dots = text.find("...").map(|i| i..i + text[i..].bytes().take_while(|b| *b == b'.').count());
    let skeleton = if markdown { None } else { skeleton(text) };
    word.or(whole.then_some(0..text.trim_end().len())).or(dots).or(skeleton)
}

/// `XX` is twenty in a list of capitals; `xx` never is.
fn is_roman(word: &str) -> bool {
    matches!(word, "XX" | "XXX")
}

/// `<what belongs here>`, as drafts print it.
fn skeleton(text: &str) -> Option<Range<usize>> {
    let start = text.char_indices().find(|(i, c)| *c == '<' && text[i + 1..].starts_with(|c: char| c.is_ascii_alphabetic()))?.0;
    let end = start + text[start..].find('>')? + 1;
    (!text[start + 1..end].contains('<')).then_some(start..end)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn placeholders_are_found_and_ordinary_text_is_not() {
        for (text, wanted) in [
            ("TBC", Some("TBC")),
            ("ask, TODO, then", Some("TODO")),
            ("hold xx s", Some("xx")),
            ("and then ...", Some("...")),
            ("<what was seen>", Some("<what was seen>")),
            ("less than 3 < 4 and 5 > 4", None),
            ("a to-do list", None),
            ("nerve XX", None),
        ] {
            assert_eq!(placeholder(text, false).map(|r| &text[r]), wanted, "{text}");
        }
    }
}

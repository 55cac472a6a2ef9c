//! A word that the pack has ruled out.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

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
        let text = &wording.text.value;
        for banned in &case.pack(head).protected_words {
            for start in places(text, &banned.value) {
                let at = wording.span_of(start..start + banned.value.len());
                sink.report(at, "ruled out", format!("`{}` is a word that this pack has ruled out", banned.value))
                    .also(banned.span, "on this list")
                    .help("use a plain word for the thing itself");
            }
        }
    }
}

/// Where the word stands as a whole word, whatever its case.
fn places(text: &str, word: &str) -> Vec<usize> {
    let edge = |c: Option<char>| !c.is_some_and(char::is_alphanumeric);
    let hit = |i: usize| {
        let here = text.get(i..i + word.len())?;
        let whole = edge(text[..i].chars().next_back()) && edge(text[i + word.len()..].chars().next());
        (here.to_lowercase() == word.to_lowercase() && whole).then_some(i)
    };
    if word.trim().is_empty() { Vec::new() } else { text.char_indices().filter_map(|(i, _)| hit(i)).collect() }
}

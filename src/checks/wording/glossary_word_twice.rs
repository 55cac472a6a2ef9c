//! A word that the glossary of a site explains twice.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::Word;
use crate::model::terms::OWN;
use std::collections::BTreeMap;

/// The check.
pub static CHECK: Check = Check {
    name: "glossary-word-twice",
    summary: "a word has two meanings in the glossary",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("glossary_word_twice.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let mut known: BTreeMap<String, &Word> = BTreeMap::new();
    for word in case.catalog.packs.rows().iter().flat_map(|p| &p.glossary) {
        if let Some((own, means)) = OWN.iter().find(|(own, _)| folded(own) == folded(&word.word.value)) {
            sink.report(word.word.span, "a second meaning", format!("`{}` has a meaning on every site", word.word.value))
                .note(format!("{own}: {means}"))
                .help("give your own thing another word, or leave this one out");
            continue;
        }
        let Some(first) = known.get(&folded(&word.word.value)) else {
            known.insert(folded(&word.word.value), word);
            continue;
        };
        sink.report(word.word.span, "a second meaning", format!("`{}` stands in the glossary twice", word.word.value))
            .also(first.word.span, "the first")
            .note("A student who looks it up reads one of them, and the text may mean the other.")
            .help("keep one, or give the second thing a word of its own");
    }
}

/// As words are compared: letters and digits alone, as in the address of the word on its page.
fn folded(word: &str) -> String {
    let parts = word.split(|c: char| !c.is_alphanumeric()).filter(|p| !p.is_empty());
    parts.collect::<Vec<_>>().join(" ").to_lowercase()
}

//! Words about the person's own body that frighten.

use super::patient::told;
use crate::checks::phrases::{self, Phrase};
use crate::checks::prose::Prose;
use crate::checks::text::{taken_back, words};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::Kind;
use std::sync::LazyLock;

/// The check.
pub static CHECK: Check = Check {
    name: "frightening-words",
    summary: "a text for the person uses words that frighten about the body",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("frightening_words.md"),
};

static LIST: LazyLock<Vec<Phrase>> = LazyLock::new(|| phrases::read(include_str!("words/frightening.txt")));

fn run(case: &Case<'_>, sink: &mut Sink) {
    // A flag has to say what may be wrong.
    for told in told(case).iter().filter(|t| !matches!(t.doc.kind, Kind::Flag | Kind::Condition)) {
        for wording in &told.texts {
            let prose = Prose::of(wording);
            let words = words(&prose.text);
            for hit in phrases::find(&LIST, &words, &prose.text) {
                let Some(first) = words.get(hit.words.start) else { continue };
                if taken_back(words.get(..hit.words.start).unwrap_or_default(), first, &prose.text) {
                    continue;
                }
                let said = prose.said(hit.range.clone());
                sink.report(prose.span(hit.range), "frightens, and seldom helps", format!("{} says `{said}`", told.what))
                    .note("Words about a body that is broken or worn stay with people and make them move less.")
                    .help(format!("say instead: {}", hit.phrase.instead));
            }
        }
    }
}

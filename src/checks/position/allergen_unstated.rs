//! Protocols that leave open what touches the skin.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "allergen-unstated",
    summary: "allergens are neither stated in nor stated out",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("allergen_unstated.md"),
};

/// Words that leave the choice open.
const OPEN: [&str; 6] = ["any", "various", "usual", "suitable", "whatever", "preferred"];
/// Words that turn a sentence into a refusal: `no oil of any kind`.
const NONE: [&str; 5] = ["no", "not", "none", "without", "never"];

fn run(case: &Case<'_>, sink: &mut Sink) {
    for protocol in case.catalog.protocols.rows() {
        let Some(allergens) = &protocol.allergens else {
            let message = format!("{} does not say whether latex, nut oil or adhesive touches the skin", protocol.head.id.value);
            sink.report(protocol.title.span, "no `allergens` in this protocol", message)
                .help("add `allergens:` and say what touches the skin and what does not");
            continue;
        };
        if let Some(word) = open_word(&allergens.value) {
            sink.report(allergens.span, "leaves it open", format!("allergens are left open by the word `{word}`"))
                .help("name what touches the skin, or say that nothing does");
        }
    }
}

fn open_word(text: &str) -> Option<&'static str> {
    text.to_lowercase().split(['.', ';']).find_map(|sentence| {
        let has = |list: &[&'static str]| {
            let mut words = sentence.split(|c: char| !c.is_alphanumeric());
            words.find_map(|w| list.iter().find(|l| **l == w).copied())
        };
        has(&OPEN).filter(|_| has(&NONE).is_none())
    })
}

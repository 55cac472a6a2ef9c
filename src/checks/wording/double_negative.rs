//! Two negations in a line that tells when to stop or whom to call.

use crate::checks::phrases::{self, Phrase};
use crate::checks::prose::Prose;
use crate::checks::text::words;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::StopRule;
use crate::model::{Kind, Wording};
use crate::source::Span;
use std::collections::BTreeSet;
use std::ops::Range;
use std::sync::LazyLock;

/// The check.
pub static CHECK: Check = Check {
    name: "double-negative",
    summary: "a line about stopping or getting help holds two negations",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("double_negative.md"),
};

static LIST: LazyLock<Vec<Phrase>> = LazyLock::new(|| phrases::read(include_str!("words/double_negatives.txt")));

/// What a flag orders, and what is done when it goes wrong.
const FLAG_KEYS: [&str; 4] = ["meanwhile", "say", "safety-net", "question"];
const OTHER_KEYS: [&str; 3] = ["if-wrong", "change-plan", "aftercare"];
/// In free text, what makes a sentence a line about stopping.
const ABOUT: [&str; 11] = ["stop", "stops", "end", "emergency", "help", "hospital", "doctor", "call", "telephone", "tell", "seek"];

fn run(case: &Case<'_>, sink: &mut Sink) {
    let rules = stop_rules(case);
    for wording in &case.catalog.wordings {
        let ordered = rules.contains(&wording.text.span) || is_order(wording);
        let free = wording.markdown && wording.doc.kind != Kind::Source;
        if !(ordered || free) || case.english(wording.doc).is_none() {
            continue;
        }
        let prose = Prose::of(wording);
        for (sentence, _) in prose.sentences() {
            let text = &prose.text[sentence.clone()];
            if !ordered && !words(text).iter().any(|w| w.is_any(&ABOUT)) {
                continue;
            }
            for (part, instead) in doubled(text) {
                let part = sentence.start + part.start..sentence.start + part.end;
                let said = prose.said(part.clone());
                sink.report(prose.span(part), "two negations", format!("a line about stopping or getting help says `{said}`"))
                    .note("Under stress one of the two is missed, and the line says its opposite.")
                    .help(instead);
            }
        }
    }
}

fn is_order(wording: &Wording) -> bool {
    let keys: &[&str] = if wording.doc.kind == Kind::Flag { &FLAG_KEYS } else { &OTHER_KEYS };
    wording.doc.kind != Kind::Source && keys.contains(&&*wording.key)
}

/// Where signs, thresholds and actions of stop rules stand.
fn stop_rules(case: &Case<'_>) -> BTreeSet<Span> {
    let techniques = case.catalog.techniques.rows().iter().flat_map(|t| &t.stop);
    let steps =
        case.catalog.protocols.rows().iter().flat_map(|p| p.steps.iter().flat_map(|s| &s.stop).chain(p.home.iter().flat_map(|h| &h.stop)));
    let texts = |rule: &StopRule| [Some(&rule.sign), rule.at.as_ref(), rule.act.as_ref()].map(|t| t.map(|t| t.span));
    techniques.chain(steps).flat_map(texts).flatten().collect()
}

fn doubled(sentence: &str) -> Vec<(Range<usize>, &'static str)> {
    let hits = phrases::find(&LIST, &words(sentence), sentence).into_iter();
    hits.map(|hit| (hit.range, if hit.phrase.instead.is_empty() { "say it with one negation or none" } else { hit.phrase.instead }))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn negations_that_cancel_are_found_and_lists_of_orders_are_not() {
        for (text, wanted) in [
            ("do not stop unless the pain is sharp", vec!["not stop unless"]),
            ("Don’t ignore tingling.", vec!["Don’t ignore"]),
            ("never go on without asking", vec!["never go on without"]),
            ("Dizziness is not uncommon.", vec!["not uncommon"]),
            ("Go on unless the person cannot feel it", vec!["unless the person cannot"]),
            ("No food, no drink, and do not treat today", vec![]),
            ("stop if the skin does not warm", vec![]),
            ("Do not go on. Unless told so, wait.", vec![]),
            ("without delay, stop", vec![]),
        ] {
            let found: Vec<&str> = doubled(text).into_iter().map(|(r, _)| &text[r]).collect();
            assert_eq!(found, wanted, "{text}");
        }
    }
}

//! Words in an instruction that each reader fills with another amount.

use crate::checks::prose::Prose;
use crate::checks::{Case, Check, Run, Sink, text};
use crate::finding::Level;
use crate::model::Kind;
use std::ops::Range;

/// The check.
pub static CHECK: Check = Check {
    name: "vague-dose-word",
    summary: "an instruction has a word where an amount should be",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("vague_dose_word.md"),
};

/// Keys that tell a person what to do.
const KEYS: [&str; 3] = ["do", "cue", "success"];

/// Always vague.
const WORDS: [&[&str]; 21] = [
    &["firmly"],
    &["briefly"],
    &["strongly"],
    &["vigorously"],
    &["forcefully"],
    &["repeatedly"],
    &["several"],
    &["a", "few"],
    &["few", "times"],
    &["a", "couple", "of"],
    &["many", "times"],
    &["for", "a", "while"],
    &["a", "short", "while"],
    &["for", "a", "bit"],
    &["some", "time"],
    &["some", "seconds"],
    &["some", "minutes"],
    &["as", "long", "as", "needed"],
    &["as", "often", "as", "needed"],
    &["as", "hard", "as"],
    &["a", "short", "time"],
];

/// What a hand does; makes `hard`, `deep` and the like an amount.
const VERBS: [&str; 13] = ["press", "push", "squeeze", "pull", "rub", "stretch", "sweep", "knead", "dig", "sink", "pinch", "go", "work"];

/// What is given; makes an adjective before it an amount.
const NOUNS: [&str; 9] = ["pressure", "press", "squeeze", "stretch", "stroke", "strokes", "push", "pull", "grip"];

const DEGREES: [&str; 7] = ["hard", "harder", "deep", "deeper", "deeply", "firm", "firmer"];
const ADJECTIVES: [&str; 9] = ["firm", "hard", "strong", "heavy", "deep", "light", "moderate", "brief", "medium"];

/// In free text, verbs that make a sentence an instruction when they open it or follow "and" or "then".
const ORDERS: [&str; 24] = [
    "press", "push", "squeeze", "pull", "rub", "stretch", "sweep", "knead", "dig", "sink", "pinch", "hold", "repeat", "do", "lean", "roll",
    "stroke", "massage", "ice", "cool", "warm", "heat", "lift", "bend",
];

fn run(case: &Case<'_>, sink: &mut Sink) {
    for wording in &case.catalog.wordings {
        let keyed = matches!(wording.doc.kind, Kind::Protocol | Kind::Technique) && KEYS.contains(&&*wording.key);
        let free = wording.markdown && wording.doc.kind != Kind::Source;
        if !keyed && !free {
            continue;
        }
        let prose = Prose::of(wording);
        for (sentence, _) in prose.sentences().filter(|(r, _)| keyed || is_order(&prose.text[r.clone()])) {
            for at in vague(&prose.text[sentence.clone()]) {
                let at = sentence.start + at.start..sentence.start + at.end;
                let said = prose.said(at.clone());
                let place = case.catalog.title(wording.doc);
                sink.report(prose.span(at), "how much is this?", format!("an instruction of {place} says `{said}`"))
                    .note("Four people who read it give four doses.")
                    .help(format!("take `{said}` out and put the amount into the dose, as time, count or pain number"));
            }
        }
    }
}

/// True if a sentence of free text tells somebody to do something.
fn is_order(sentence: &str) -> bool {
    let words = words(sentence);
    let word = |i: usize| words.get(i).map_or("", |(_, w)| &**w);
    words.iter().enumerate().any(|(i, (_, own))| {
        let opens =
            i.checked_sub(1).is_none_or(|before| ["and", "then", "or", "please", "gently", "slowly", "not"].contains(&word(before)));
        opens && ORDERS.contains(&&**own)
    })
}

/// Bytes of each vague phrase.
fn vague(text: &str) -> Vec<Range<usize>> {
    let words = words(text);
    let word = |i: usize| words.get(i).map_or("", |(_, w)| &**w);
    let mut out: Vec<Range<usize>> = Vec::new();
    for (i, (at, own)) in words.iter().enumerate() {
        let phrase = WORDS.iter().find(|p| p.iter().enumerate().all(|(k, w)| word(i + k) == *w)).map_or(0, |p| p.len());
        let adverb = DEGREES.contains(&&**own) && i.checked_sub(1).is_some_and(|b| VERBS.contains(&word(b)) || softened(&words, b));
        let adjective = ADJECTIVES.contains(&&**own) && NOUNS.contains(&word(i + 1));
        let length = if phrase > 0 { phrase } else { usize::from(adverb || adjective) };
        let inside = out.last().is_some_and(|last| last.end > at.start);
        if let Some((last, _)) = words.get((i + length).saturating_sub(1)).filter(|_| length > 0 && !inside) {
            out.push(at.start..last.end);
        }
    }
    out
}

/// `press as hard`, `push too deep`: a word of degree between verb and adverb.
fn softened(words: &[(Range<usize>, String)], at: usize) -> bool {
    let word = |i: usize| words.get(i).map_or("", |(_, w)| &**w);
    ["too", "very", "quite", "rather", "more"].contains(&word(at)) && at.checked_sub(1).is_some_and(|b| VERBS.contains(&word(b)))
}

/// Words in small letters with their bytes.
fn words(text: &str) -> Vec<(Range<usize>, String)> {
    text::words(text).into_iter().map(|w| (w.range, w.text.to_lowercase())).collect()
}

#[cfg(test)]
mod tests {
    use super::{is_order, vague};

    #[test]
    fn amounts_are_vague_and_anatomy_is_not() {
        let found = |text: &str| vague(text).into_iter().map(|r| text[r].to_string()).collect::<Vec<_>>();
        assert_eq!(found("Press firmly a few times."), ["firmly", "a few"]);
        assert_eq!(found("Press hard, then push deeper."), ["hard", "deeper"]);
        assert_eq!(found("Hold with moderate pressure for a while."), ["moderate", "for a while"]);
        assert_eq!(found("Do not press too hard."), ["hard"]);
        for fine in
            ["Breathe deeply.", "Sink the thumb in front of the deep fibres.", "No hard ball.", "Take a deep breath.", "Push lightly away."]
        {
            assert!(found(fine).is_empty(), "{fine}");
        }
    }

    #[test]
    fn free_text_is_an_instruction_where_it_orders() {
        for (text, wanted) in [
            ("Press firmly.", true),
            ("At home, sit down and stretch for a while.", true),
            ("Where several conditions meet, the stricter rule holds.", false),
            ("Most of our pressure steps have one brake.", false),
            ("Soreness for a few days is common.", false),
        ] {
            assert_eq!(is_order(text), wanted, "{text}");
        }
    }
}

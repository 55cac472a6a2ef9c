//! Words in an instruction that each reader fills with another amount.

use crate::checks::{Case, Check, Run, Sink, text};
use crate::finding::Level;
use crate::model::{Kind, Wording};
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

fn run(case: &Case<'_>, sink: &mut Sink) {
    let read = |w: &&Wording| matches!(w.doc.kind, Kind::Protocol | Kind::Technique) && KEYS.contains(&&*w.key);
    for wording in case.catalog.wordings.iter().filter(read) {
        for at in vague(&wording.text.value) {
            let said = wording.text.value.get(at.clone()).unwrap_or_default();
            let place = case.catalog.title(wording.doc);
            sink.report(wording.span_of(at.clone()), "how much is this?", format!("an instruction of {place} says `{said}`"))
                .note("Four people who read it give four doses.")
                .help(format!("take `{said}` out and put the amount into the dose, as time, count or pain number"));
        }
    }
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
    use super::vague;

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
}

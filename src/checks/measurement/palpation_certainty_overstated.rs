//! Wording that makes palpation surer than it is. English only.

use crate::checks::text::{Word, words};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::measurement::sign::{REPEATABLE, shown, word};
use crate::finding::Level;
use crate::model::Kind;
use crate::model::docs::Sign;
use crate::plan::site::doc;
use std::ops::Range;

/// The check.
pub static CHECK: Check = Check {
    name: "palpation-certainty-overstated",
    summary: "a text makes finding a point surer than examiners are",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("palpation_certainty_overstated.md"),
};

const SURE: [&str; 9] =
    ["exact", "precise", "definite", "exactly", "precisely", "accurately", "definitely", "unmistakable", "unmistakably"];
const PLACES: [&str; 12] = ["point", "points", "spot", "spots", "place", "location", "site", "band", "knot", "knots", "nodule", "position"];
const FINDS: [&str; 12] =
    ["find", "finds", "locate", "locates", "located", "identify", "identifies", "detect", "detects", "feel", "palpate", "palpates"];
const POINTS: [&str; 6] = ["trigger", "tender", "point", "points", "band", "knot"];
const TAKEN_BACK: [&str; 14] =
    ["no", "not", "never", "nobody", "none", "cannot", "can't", "nor", "neither", "doesn't", "don't", "need", "rarely", "hardly"];
/// Praise of a sign.
const PRAISE: [&str; 9] = ["reliable", "reliably", "well", "good", "excellent", "certain", "certainly", "consistent", "consistently"];
/// How many words may stand between the two.
const REACH: usize = 4;

fn run(case: &Case<'_>, sink: &mut Sink) {
    let speaks = |k: Kind| matches!(k, Kind::Muscle | Kind::Protocol | Kind::Technique | Kind::Page);
    for wording in case.catalog.wordings.iter().filter(|w| speaks(w.doc.kind) && case.english(w.doc).is_some()) {
        for part in overstated(&wording.text.value) {
            let said = wording.text.value.get(part.clone()).unwrap_or_default().replace('\n', " ");
            sink.report(wording.span_of(part), "nobody finds it so surely", format!("the text says `{said}`"))
                .note("Two examiners agree on a point with a pooled kappa of 0.452, 95 % interval 0.364 to 0.540 (Rathbone 2017, doi:10.1097/AJP.0000000000000459).")
                .help("write `look here first`, and what the person should report");
        }
    }
    let english = case.catalog.muscles.iter().filter(|(i, _)| case.english(doc(Kind::Muscle, *i)).is_some());
    for point in english.flat_map(|(_, m)| &m.points) {
        point.confirms.iter().for_each(|s| praised(case, s, sink));
    }
}

/// A note that praises a sign on which examiners do not agree.
fn praised(case: &Case<'_>, sign: &Sign, sink: &mut Sink) {
    let kappas = sign.reliability.iter().filter(|r| r.kind.is_kappa());
    let Some((r, value)) = kappas.filter_map(|r| Some((r, r.value.as_ref()?))).min_by(|a, b| a.1.value.lo.total_cmp(&b.1.value.lo)) else {
        return;
    };
    if value.value.lo >= REPEATABLE {
        return;
    }
    for note in sign.note.iter().chain(sign.reliability.iter().filter_map(|r| r.note.as_ref())) {
        let all = words(&note.value);
        let Some((i, praise)) = all.iter().enumerate().find(|(_, w)| w.is_any(&PRAISE)) else { continue };
        if all.iter().take(i).rev().take(REACH).any(|w| w.is_any(&TAKEN_BACK)) {
            continue;
        }
        let at = case.place(note, praise.range.clone());
        let message = format!("a note on `{}` says `{}`, and examiners agreed {}", sign.sign.value, praise.text, word(value.value.lo));
        sink.report(at, "not by the numbers", message)
            .also(value.span, shown(r.kind, value.value))
            .help("let the number speak; the page puts it into words");
    }
}

fn overstated(text: &str) -> Vec<Range<usize>> {
    let all = words(text);
    let mut out: Vec<Range<usize>> = Vec::new();
    for (i, first) in all.iter().enumerate() {
        let found = if first.is_any(&["pinpoint", "pinpoints"]) {
            Some(first.range.end)
        } else if first.is_any(&SURE) {
            pair(text, &all, i, &PLACES)
        } else if first.is_any(&FINDS) {
            pair(text, &all, i, &SURE).or_else(|| identifies(text, &all, i))
        } else if first.is_any(&["here", "there"]) {
            all.get(i + 1).filter(|w| w.is_any(&["exactly", "precisely"])).map(|w| w.range.end)
        } else {
            None
        };
        let Some(end) = found else { continue };
        let inside = all.iter().filter(|w| w.range.start >= first.range.start && w.range.end <= end);
        let before = all.iter().take(i).rev().take(5).take_while(|w| same_sentence(text, w.range.end, first.range.start));
        let back = inside.chain(before).any(|w| w.is_any(&TAKEN_BACK));
        if !back && out.last().is_none_or(|o| o.end <= first.range.start) {
            out.push(first.range.start..end);
        }
    }
    out
}

/// `identify the trigger point`: a verb of certainty by itself.
fn identifies(text: &str, all: &[Word<'_>], i: usize) -> Option<usize> {
    all.get(i)?.is_any(&["identify", "identifies"]).then(|| pair(text, all, i, &POINTS)).flatten()
}

/// End of one of `second` within reach of a word, in the same sentence.
fn pair(text: &str, all: &[Word<'_>], i: usize, second: &[&str]) -> Option<usize> {
    let from = all.get(i)?.range.end;
    let hit = all.iter().skip(i + 1).take(REACH + 1).find(|w| w.is_any(second))?;
    same_sentence(text, from, hit.range.start).then_some(hit.range.end)
}

fn same_sentence(text: &str, from: usize, to: usize) -> bool {
    !text.get(from..to).unwrap_or_default().contains(['.', '!', '?', ';', ':'])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn certainty_is_found_and_its_denial_is_not() {
        for (text, found) in [
            ("Find the exact point with the thumb.", 1),
            ("Locate the tender spot exactly.", 1),
            ("Identify the trigger point first.", 1),
            ("Pinpoint the sore place.", 1),
            ("The point lies here exactly.", 1),
            ("Look here first; it need not be here.", 0),
            ("Nobody finds the exact point.", 0),
            ("Do not look for the exact point.", 0),
            ("An exact spot is not to be expected.", 1),
            ("There is no exact location.", 0),
            ("Identify yourself. The point comes later.", 0),
            ("Press exactly as long as the card says.", 0),
        ] {
            assert_eq!(overstated(text).len(), found, "{text}");
        }
    }
}

//! A text that claims to treat a medical condition outside the scope of the pack.

use super::own_texts;
use crate::checks::phrases::{self, Hit, Phrase};
use crate::checks::prose::{Block, Prose};
use crate::checks::text::{Word, parts, taken_back, words};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::Kind;
use std::ops::Range;
use std::sync::LazyLock;

/// The check.
pub static CHECK: Check = Check {
    name: "medical-condition-claimed",
    summary: "a text claims to treat a medical condition outside the scope of the pack",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("medical_condition_claimed.md"),
};

static CONDITIONS: LazyLock<Vec<Phrase>> = LazyLock::new(|| phrases::read(include_str!("words/conditions.txt")));
static TREATING: LazyLock<Vec<Phrase>> = LazyLock::new(|| phrases::read(include_str!("words/treating.txt")));

/// How many words may stand between the verb and the condition.
const REACH: usize = 6;
/// Between the two: the text tells the condition apart and does not treat it.
const TELLS_APART: [&str; 12] =
    ["tell", "find", "spot", "recognise", "recognize", "exclude", "see", "know", "notice", "distinguish", "than", "someone"];
/// Before "treatment": it is somebody else's.
const PAST: [&str; 11] = ["had", "has", "have", "having", "under", "after", "during", "receiving", "ongoing", "current", "recent"];
/// Who else may treat it.
const OTHERS: [&str; 10] =
    ["doctor", "doctors", "physician", "specialist", "surgeon", "surgeons", "hospital", "medicine", "medicines", "drugs"];
/// `migraine treatment`.
const AFTER: [&str; 7] = ["treatment", "treatments", "therapy", "relief", "cure", "remedy", "prevention"];
/// `migraine is relieved`.
const DONE: [&str; 11] =
    ["treated", "relieved", "helped", "eased", "cured", "healed", "improved", "prevented", "reduced", "resolved", "responds"];
/// A sentence with one of these and a source reports a study.
const REPORTS: [&str; 7] = ["trial", "trials", "study", "studies", "review", "reviews", "survey"];

fn run(case: &Case<'_>, sink: &mut Sink) {
    // What a condition or flag names, it names in order to bar or to send on.
    let speaks = |kind: Kind| !matches!(kind, Kind::Condition | Kind::Flag);
    for (wording, pack) in own_texts(case).filter(|(w, _)| speaks(w.doc.kind) && !["not-for", "treats"].contains(&&*w.key)) {
        let prose = Prose::of(wording);
        for (sentence, block) in prose.sentences() {
            let text = &prose.text[sentence.clone()];
            if text.trim_end().ends_with('?') || reports(text, block, &sentence) {
                continue;
            }
            for (part, name) in claimed(text) {
                let inside = pack.treats.iter().any(|t| same_words(&t.value, &text[name.clone()]));
                if inside {
                    continue;
                }
                let shift = |r: &Range<usize>| sentence.start + r.start..sentence.start + r.end;
                let (said, name) = (prose.said(shift(&part)), prose.said(shift(&name)));
                sink.report(prose.span(shift(&part)), "outside the scope", format!("the text says `{said}`: {name} is outside the scope of this pack"))
                    .note("Treating an illness belongs to those who may, and the law on advertising watches such words.")
                    .help(format!("name what the person can do or feel, for instance `turn the head with less pull`; if the pack may treat it, add `{}` to `scope: {{treats: […]}}` in pack.yaml", name.to_lowercase()));
            }
        }
    }
}

fn reports(text: &str, block: &Block, sentence: &Range<usize>) -> bool {
    let cites = block.links.iter().any(|(at, url)| url.starts_with("source:") && at.start >= sentence.start && at.start < sentence.end);
    cites && words(text).iter().any(|w| w.is_any(&REPORTS))
}

/// True if one is the other or part of it, word by word.
fn same_words(allowed: &str, named: &str) -> bool {
    let letters = |text: &str| words(text).iter().map(|w| w.letters().collect::<String>()).collect::<Vec<_>>();
    let (allowed, named) = (letters(allowed), letters(named));
    !allowed.is_empty() && allowed == named
}

/// Claims of a sentence: the whole claim and the condition in it.
fn claimed(text: &str) -> Vec<(Range<usize>, Range<usize>)> {
    let words = words(text);
    let verbs = phrases::find(&TREATING, &words, text);
    let conditions = phrases::find(&CONDITIONS, &words, text);
    conditions
        .iter()
        .filter_map(|hit| Some((before(&words, &verbs, hit, text).or_else(|| after(&words, hit, text))?, hit.range.clone())))
        .collect()
}

/// `treats migraine`.
fn before(words: &[Word<'_>], verbs: &[Hit<'_>], condition: &Hit<'_>, text: &str) -> Option<Range<usize>> {
    let verb = verbs.iter().rev().find(|v| v.words.end <= condition.words.start)?;
    let (first, between) = (words.get(verb.words.start)?, words.get(verb.words.end..condition.words.start)?);
    let earlier = words.get(..verb.words.start)?;
    let person = first.letters().take(5).eq("treat".chars())
        && (between.last().is_some_and(|w| w.is_any(&["with", "has", "have", "had"])) || between.iter().any(|w| w.is_any(&["who"])));
    let near = between.len() <= REACH && !parts(text.get(verb.range.end..condition.range.start)?);
    let elsewhere = earlier.iter().rev().take(4).any(|w| w.is_any(&OTHERS) || w.is_any(&PAST))
        || between.iter().any(|w| w.is_any(&TELLS_APART) || w.is_any(&["not", "no", "never", "without"]));
    (near && !elsewhere && !person && !is_denied(earlier, first, text)).then_some(verb.range.start..condition.range.end)
}

/// `not … cure, prevent or treat`: in a list of verbs the denial stands far from the last one. After "and" or "but"
/// something new is said.
fn is_denied(earlier: &[Word<'_>], verb: &Word<'_>, text: &str) -> bool {
    let same = |w: &&Word<'_>| !w.is_any(&["and", "but"]) && text.get(w.range.end..verb.range.start).is_some_and(|gap| !parts(gap));
    let denies = |w: &Word<'_>| {
        w.is_any(&["not", "no", "never", "nobody", "nothing", "none", "nor", "neither", "without"])
            || w.is_any(&["cannot", "can't", "don't", "doesn't", "isn't", "won't"])
    };
    earlier.iter().rev().take(8).take_while(same).any(denies)
}

/// `migraine relief`, `migraine is eased`.
fn after(words: &[Word<'_>], condition: &Hit<'_>, text: &str) -> Option<Range<usize>> {
    let earlier = words.get(..condition.words.start)?;
    let first = words.get(condition.words.start)?;
    let next = words.get(condition.words.end)?;
    let joined = |w: &Word<'_>| text.get(condition.range.end..w.range.start).is_some_and(|gap| !parts(gap));
    let barred = taken_back(earlier, first, text) || earlier.iter().rev().take(4).any(|w| w.is_any(&PAST));
    if next.is_any(&AFTER) && joined(next) && !barred {
        return Some(condition.range.start..next.range.end);
    }
    let person = earlier.last().is_some_and(|w| w.is_any(&["with", "has", "have", "a", "the"]));
    let reach = words.get(condition.words.end..)?.iter().take(4).collect::<Vec<_>>();
    let done = reach.iter().position(|w| w.is_any(&DONE))?;
    let no = reach.iter().take(done).any(|w| w.is_any(&["not", "never", "no", "cannot", "isn't", "aren't", "was", "were"]));
    let by_others = words.get(condition.words.end..)?.iter().any(|w| w.is_any(&OTHERS));
    let verb = reach.get(done)?;
    (!person && !no && !barred && !by_others && joined(verb)).then_some(condition.range.start..verb.range.end)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn claims_are_found_and_cautions_are_not() {
        for (text, wanted) in [
            ("It treats migraine and helps with tinnitus.", vec!["treats migraine", "helps with tinnitus"]),
            ("A proven therapy for frozen shoulder.", vec!["therapy for frozen shoulder"]),
            ("For the relief of Migraine.", vec!["relief of Migraine"]),
            ("Migraine relief in one visit", vec!["Migraine relief"]),
            ("Sciatica can be eased by this.", vec!["Sciatica can be eased"]),
            ("It may prevent a herniated disc.", vec!["prevent a herniated disc"]),
            ("Do not treat migraine here.", vec![]),
            ("We do not claim to cure, prevent or treat arthritis.", vec![]),
            ("It does not harm and treats gout.", vec!["treats gout"]),
            ("It is not for show: it treats gout.", vec!["treats gout"]),
            ("Nobody with cancer is treated here.", vec![]),
            ("Under treatment for cancer, ask first.", vec![]),
            ("A doctor treats migraine.", vec![]),
            ("Treat a person with osteoporosis lying on the side.", vec![]),
            ("It helps. Migraine is for a doctor.", vec![]),
            ("The pull eases. Fibromyalgia was not studied.", vec![]),
            ("Signs that help to tell migraine from a stiff neck.", vec![]),
            ("It is no treatment for asthma.", vec![]),
            ("Migraines are treated by a doctor.", vec![]),
            ("This treats parents.", vec![]),
        ] {
            let found: Vec<&str> = claimed(text).into_iter().map(|(r, _)| &text[r]).collect();
            assert_eq!(found, wanted, "{text}");
        }
    }

    #[test]
    fn the_scope_names_a_condition_word_by_word() {
        assert!(same_words("Frozen shoulder", "frozen\nshoulder") && !same_words("arthritis", "osteoarthritis") && !same_words("", "gout"));
    }
}

//! Texts for the person that are harder to read than the pack allows.

use super::patient::{Told, told};
use crate::checks::prose::Prose;
use crate::checks::text::words;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::readability::{Counts, syllables};
use crate::finding::Level;
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "reading-level",
    summary: "a text for the person is harder to read than the pack allows",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("reading_level.md"),
};

/// Grade where the pack names none. The National Institutes of Health of the United States are reported to ask for
/// less than the eighth grade (abstract of PMC6334864).
pub(super) const USUAL_GRADE: f64 = 8.0;
/// The formula was made on running text; shorter texts than this are not judged. Own number, no source.
const FEWEST_WORDS: u32 = 30;
/// A sentence from this on is called long. Own number, no source.
const LONG: u32 = 15;
/// Words with so many syllables are worth replacing.
const HEAVY: u32 = 3;

struct Sentence {
    counts: Counts,
    at: Span,
    heavy: Vec<String>,
}

fn run(case: &Case<'_>, sink: &mut Sink) {
    for told in told(case) {
        let limit = told.pack.reading_grade.as_ref().map_or(USUAL_GRADE, |g| g.value);
        let sentences = sentences(&told);
        let all = sentences.iter().fold(Counts::default(), |sum, s| sum.plus(s.counts));
        let Some(grade) = all.grade().filter(|g| all.words >= FEWEST_WORDS && shown(*g) > limit) else { continue };
        // The sentence without which the text is easiest.
        let without = |s: &Sentence| all.without(s.counts).grade().unwrap_or(f64::MIN);
        let Some(worst) = sentences.iter().min_by(|a, b| without(a).total_cmp(&without(b))) else { continue };
        let title = case.catalog.title(told.doc);
        let message = format!("{} of {title} reads at grade {:.1}, and the pack allows {limit}", told.what, shown(grade));
        let finding = sink.report(worst.at, "this sentence weighs most", message);
        if let Some(set) = &told.pack.reading_grade {
            finding.also(set.span, "the grade of this pack");
        }
        let (words, per) = (all.words, f64::from(all.words) / f64::from(all.sentences.max(1)));
        finding.note(format!("{words} words, {per:.0} in a sentence on average; formula of Flesch and Kincaid (1975), for English."));
        finding.help(advice(worst));
    }
}

/// As printed: a text at 8.04 is at 8.0.
fn shown(grade: f64) -> f64 {
    (grade * 10.0).round() / 10.0
}

fn sentences(told: &Told<'_>) -> Vec<Sentence> {
    let mut out = Vec::new();
    for wording in &told.texts {
        let prose = Prose::of(wording);
        for (range, _) in prose.sentences() {
            let text = &prose.text[range.clone()];
            let words = words(text);
            let mut heavy: Vec<String> = words.iter().filter(|w| syllables(w.text) >= HEAVY).map(|w| w.letters().collect()).collect();
            heavy.sort_by_key(|w| std::cmp::Reverse(syllables(w)));
            heavy.dedup();
            let counts = Counts::of_sentence(words.iter().map(|w| w.text));
            out.push(Sentence { counts, at: prose.span(range), heavy });
        }
    }
    out
}

fn advice(worst: &Sentence) -> String {
    let words = worst.counts.words;
    let long = (words >= LONG).then(|| format!("cut this sentence of {words} words in two"));
    let list: Vec<String> = worst.heavy.iter().take(4).map(|w| format!("`{w}`")).collect();
    let heavy = (!list.is_empty()).then(|| format!("use shorter words for {}", list.join(", ")));
    let both: Vec<String> = [long, heavy].into_iter().flatten().collect();
    if both.is_empty() { "make the sentences shorter".into() } else { both.join(", and ") }
}

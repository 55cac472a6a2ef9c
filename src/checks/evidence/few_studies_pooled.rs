//! A pool of few studies that gives no reason, or that is said to tell what two studies cannot.

use super::named::begins;
use crate::checks::text::{sentences, taken_back, words};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::appraisal::Answer;
use crate::finding::Level;
use crate::model::docs::{Asked, Question};
use crate::source::Text;
use std::ops::Range;

/// The check.
pub static CHECK: Check = Check {
    name: "few-studies-pooled",
    summary: "a pool of few studies gives no reason, or tells what so few cannot",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("few_studies_pooled.md"),
};

/// From this number on a pool needs no reason; with fewer, the spread between studies is hardly known. House
/// practice of the tool.
const ENOUGH: usize = 5;
/// With so few studies neither a prediction interval nor I2 tells anything.
const PAIR: usize = 2;
const SPREAD: [&str; 5] = ["prediction interval", "i2", "i²", "heterogeneity", "heterogeneous"];

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, question) in case.catalog.questions.iter() {
        for (asked, facts) in question.outcomes.iter().zip(&case.facts.appraisal.of(idx).outcomes) {
            let Answer::Pooled(pooled) = &facts.answer else { continue };
            let n = pooled.weights.len();
            if n < ENOUGH && asked.why_pooled.is_none() {
                reason(question, asked, n, sink);
            }
            if n <= PAIR {
                spoken(case, question, asked, n, sink);
            }
        }
    }
}

fn reason(question: &Question, asked: &Asked, n: usize, sink: &mut Sink) {
    let at = asked.pooling.as_ref().map_or(asked.span, |p| p.span);
    let message = format!("`{}` pools {n} studies for {} and does not say why", question.head.id.value, asked.outcome.written.value);
    sink.report(at, "pooled", message)
        .note(format!("Below {ENOUGH} studies the spread between them is hardly known."))
        .help("add `why-pooled` with what makes these studies alike in people, treatment and measure; or leave `pooling` out, and they stand side by side");
}

fn spoken(case: &Case<'_>, question: &Question, asked: &Asked, n: usize, sink: &mut Sink) {
    let texts: Vec<&Text> = asked.statement.iter().chain(&asked.why_pooled).chain(&question.notes).collect();
    for text in texts {
        if let Some(range) = sentences(&text.value).into_iter().find_map(|s| told(&text.value, s)) {
            let word = &text.value[range.clone()];
            let message = format!("`{}` speaks of `{word}`, and it pools {n} studies", question.head.id.value);
            sink.report(case.place(text, range), "cannot be known from so few", message)
                .also(asked.outcome.span(), format!("{n} studies"))
                .help("say that so few studies cannot tell how much they differ");
        }
    }
}

/// Where a sentence tells something of the spread between studies; what it denies or only asks it does not tell.
fn told(text: &str, sentence: Range<usize>) -> Option<Range<usize>> {
    let said = text.get(sentence.clone())?;
    let all = words(said);
    let (i, n) = (0..all.len()).find_map(|i| Some((i, SPREAD.iter().filter_map(|name| begins(all.get(i..)?, name)).max()?)))?;
    let (before, first) = all.split_at_checked(i).and_then(|(before, from)| Some((before, from.first()?)))?;
    let open = taken_back(before, first, said) || before.iter().any(|w| w.is_any(&["whether"]));
    (!open).then_some(sentence.start + first.range.start..sentence.start + all.get(i + n - 1)?.range.end)
}

#[cfg(test)]
mod tests {
    use super::told;

    #[test]
    fn what_is_denied_is_not_told() {
        for (sentence, wanted) in [
            ("Heterogeneity was low.", Some("Heterogeneity")),
            ("I² is 12 % and the prediction interval is wide.", Some("I²")),
            ("Two studies cannot tell heterogeneity.", None),
            ("There is no prediction interval.", None),
            ("Nobody knows whether the prediction interval would hold no effect.", None),
            ("The trials agree.", None),
        ] {
            assert_eq!(told(sentence, 0..sentence.len()).map(|r| &sentence[r]), wanted, "{sentence}");
        }
    }
}

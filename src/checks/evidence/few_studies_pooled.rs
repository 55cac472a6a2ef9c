//! A pool of few studies that gives no reason, or that is said to tell what two studies cannot.

use crate::checks::{Case, Check, Run, Sink};
use crate::compute::appraisal::Answer;
use crate::finding::Level;
use crate::model::docs::{Asked, Question};
use crate::source::Text;

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
        // Letters beyond these few keep their length when they are made small.
        let folded = text.value.to_ascii_lowercase();
        let hit = SPREAD.iter().filter_map(|w| Some((whole(&folded, w)?, *w))).min_by_key(|(r, _)| r.start);
        if let Some((range, word)) = hit {
            let message = format!("`{}` speaks of `{word}`, and it pools {n} studies", question.head.id.value);
            sink.report(super::at(case.catalog, text, range), "cannot be known from so few", message)
                .also(asked.outcome.span(), format!("{n} studies"))
                .help("say that so few studies cannot tell how much they differ");
        }
    }
}

fn whole(text: &str, word: &str) -> Option<std::ops::Range<usize>> {
    text.match_indices(word).map(|(i, _)| i..i + word.len()).find(|r| {
        let letter = |c: Option<char>| c.is_some_and(char::is_alphanumeric);
        !letter(text[..r.start].chars().next_back()) && !letter(text[r.end..].chars().next())
    })
}

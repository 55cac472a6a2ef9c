//! Words that are firmer than the certainty behind them.

use super::named;
use crate::checks::prose::Prose;
use crate::checks::text::{sentences, words};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::appraisal::claims;
use crate::compute::appraisal::wording::{self, Firmness};
use crate::finding::Level;
use crate::model::docs::{Asked, Question};
use crate::model::evidence::Certainty;
use crate::model::{Catalog, Kind, Wording};
use crate::plan::site::doc;
use crate::source::{Span, Text};

/// The check.
pub static CHECK: Check = Check {
    name: "certainty-wording-differs",
    summary: "the wording of an effect is firmer than its certainty allows",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("certainty_wording_differs.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let catalog = case.catalog;
    for (doc, _, claim) in claims::all(catalog) {
        let Some(certainty) = claims::certainty(catalog, claim) else { continue };
        let rating = rated(catalog, claim).filter(|r| r.result.is_some());
        if let (Some(said), Some(result)) = (&claim.certainty, rating.and_then(|r| r.result.as_ref()))
            && said.value != result.value
        {
            let message = format!("a claim states {} certainty, and its question came to {}", said.value.word(), result.value.word());
            sink.report(said.span, format!("says {}", said.value.word()), message)
                .also(result.span, format!("came to {}", result.value.word()))
                .help("leave the certainty of the claim out; it is that of the question");
        }
        let from = rating.and_then(|r| r.result.as_ref()).or(claim.certainty.as_ref()).map(|c| c.span);
        if case.english(doc).is_some() {
            text(case, &claim.text, certainty, from, sink);
        }
    }
    let english = catalog.questions.iter().filter(|(i, _)| case.english(doc(Kind::Question, *i)).is_some());
    for asked in english.flat_map(|(_, q)| &q.outcomes) {
        if let (Some(statement), Some(result)) = (&asked.statement, &asked.certainty.result) {
            text(case, statement, result.value, Some(result.span), sink);
        }
    }
    linked(case, sink);
}

fn rated<'a>(catalog: &'a Catalog, claim: &crate::model::docs::Claim) -> Option<&'a crate::model::docs::Rating> {
    match claims::support(catalog, claim.effect.as_ref()?)? {
        claims::Support::Question { question, row } => Some(&catalog.questions[question].outcomes.get(row)?.certainty),
        claims::Support::Result { .. } => None,
    }
}

fn text(case: &Case<'_>, text: &Text, certainty: Certainty, from: Option<Span>, sink: &mut Sink) {
    for sentence in sentences(&text.value) {
        if let Some(words) = too_firm(&text.value[sentence.clone()], certainty) {
            let words = sentence.start + words.start..sentence.start + words.end;
            report(&text.value[words.clone()], case.place(text, words), certainty, from, sink);
        }
    }
}

/// The words of a sentence that say more than a certainty carries. A question says nothing.
fn too_firm(sentence: &str, certainty: Certainty) -> Option<std::ops::Range<usize>> {
    if sentence.trim_end_matches(['.', ' ', ')', '"', '”']).ends_with('?') {
        return None;
    }
    wording::read(sentence).filter(|(firmness, _)| *firmness > wording::row(certainty).carries).map(|(_, words)| words)
}

fn report(words: &str, at: Span, certainty: Certainty, from: Option<Span>, sink: &mut Sink) {
    let row = wording::row(certainty);
    let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
    let message = format!("`{words}` says more than {} certainty carries", certainty.word());
    let finding = sink.report(at, "too firm", message);
    if let Some(from) = from {
        finding.also(from, format!("{} certainty", certainty.word()));
    }
    let allowed = match row.carries {
        Firmness::Unknown => format!("say that it is not known: {}", row.say),
        _ => format!("write `{}`", row.say),
    };
    finding
        .note("Wording by certainty after GRADE guidelines 26 (Santesso 2020, J Clin Epidemiol 119:126-135), in the words of this tool.")
        .help(allowed);
}

/// Sentences of pages and notes that link a question.
fn linked(case: &Case<'_>, sink: &mut Sink) {
    let catalog = case.catalog;
    let links = |w: &&Wording| w.markdown && w.text.value.contains("question:") && case.english(w.doc).is_some();
    for wording in catalog.wordings.iter().filter(links) {
        let prose = Prose::of(wording);
        for (sentence, block) in prose.sentences() {
            let Some(said) = prose.text.get(sentence.clone()) else { continue };
            let here = block.links.iter().filter(|(seen, _)| seen.start < sentence.end && sentence.start < seen.end);
            let found = here.filter_map(|(_, url)| catalog.find(Kind::Question, url.strip_prefix("question:")?));
            for doc in found {
                let Some(question) = catalog.questions.rows().get(doc.row as usize) else { continue };
                let Some(result) = meant(catalog, question, said).and_then(|a| a.certainty.result.as_ref()) else { continue };
                if let Some(words) = too_firm(said, result.value) {
                    let words = sentence.start + words.start..sentence.start + words.end;
                    report(&prose.said(words.clone()), prose.span(words), result.value, Some(result.span), sink);
                }
            }
        }
    }
}

/// The outcome of which a sentence speaks: the one with the longest name in it, else the one of the highest certainty.
fn meant<'a>(catalog: &Catalog, question: &'a Question, sentence: &str) -> Option<&'a Asked> {
    let said = words(sentence);
    let longest = |a: &Asked| named::first(&said, &named::names(&catalog.outcomes[a.outcome.to?])).map(|r| r.len());
    let by_name = question.outcomes.iter().filter_map(|a| Some((longest(a)?, a)));
    let highest = || question.outcomes.iter().max_by_key(|a| a.certainty.result.as_ref().map(|c| c.value));
    by_name.max_by_key(|(n, _)| *n).map(|(_, a)| a).or_else(highest)
}

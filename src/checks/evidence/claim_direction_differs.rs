//! A claim or an answer that points another way than its numbers.

use super::{shown, verbs};
use crate::checks::text::sentences;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::appraisal::claims::{self, Support};
use crate::finding::Level;
use crate::model::Idx;
use crate::model::docs::{Claim, ClaimedEffect, Question};
use crate::model::evidence::{Certainty, Direction, EffectMeasure};
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "claim-direction-differs",
    summary: "a claim or an answer points another way than the numbers that carry it",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("claim_direction_differs.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (doc, _, claim) in claims::all(case.catalog) {
        let Some(effect) = &claim.effect else { continue };
        against_numbers(case, claim, effect, sink);
        if case.english(doc).is_some() {
            against_words(case, claim, effect, sink);
        }
    }
    for (idx, question) in case.catalog.questions.iter() {
        answers(case, idx, question, sink);
    }
}

/// True if saying `said` hides nothing of `found`: where certainty is very low, nobody need say more than
/// that it is not known.
fn fits(said: Direction, found: Direction, certainty: Option<Certainty>) -> bool {
    said == found || (said == Direction::Unclear && certainty == Some(Certainty::VeryLow))
}

fn against_numbers(case: &Case<'_>, claim: &Claim, effect: &ClaimedEffect, sink: &mut Sink) {
    let catalog = case.catalog;
    let (Some(said), Some(support)) = (&effect.direction, claims::support(catalog, effect)) else { return };
    // Numbers about another outcome are the business of `claim-outcome-differs`.
    if support.outcome(catalog) != effect.outcome.to {
        return;
    }
    let Some(found) = support.direction(catalog, &case.facts.appraisal) else { return };
    if fits(said.value, found, claims::certainty(catalog, claim)) {
        return;
    }
    let (place, what, measure) = place(case, &support);
    let numbers = measure.zip(support.shown(&case.facts.appraisal)).map(|(m, e)| shown::estimate(m, &e));
    let message = format!("a claim says `{}`, and {what} comes to `{}`", said.value.word(), found.word());
    let finding = sink.report(said.span, format!("says {}", said.value.word()), message);
    finding.also(place, numbers.as_ref().map_or_else(|| format!("comes to {}", found.word()), Clone::clone));
    if let Some(numbers) = &numbers {
        finding.note(format!("{what}: {numbers}{}.", holds(found)));
    }
    finding.help(format!("write `direction: {}` and say so in the text, or rest the claim on what shows it", found.word()));
}

fn holds(found: Direction) -> &'static str {
    match found {
        Direction::Unclear => "; the interval includes the value of no effect",
        Direction::NoDifference => "; the interval includes the value of no effect and none that matters",
        _ => "",
    }
}

fn place<'a>(case: &'a Case<'_>, support: &Support<'a>) -> (Span, String, Option<EffectMeasure>) {
    match support {
        Support::Question { question, row } => {
            let question = &case.catalog.questions[*question];
            let asked = question.outcomes.get(*row);
            let at = asked.map_or(question.head.id.span, |a| a.outcome.span());
            (at, format!("`{}`", question.head.id.value), asked.and_then(|a| a.measure.as_ref()).map(|m| m.value))
        }
        Support::Result { source, result } => {
            let what = format!("result `{}` of `{}`", result.id.value, case.catalog.sources[*source].head.id.value);
            (result.id.span, what, crate::compute::appraisal::study::own_measure(result))
        }
    }
}

fn against_words(case: &Case<'_>, claim: &Claim, effect: &ClaimedEffect, sink: &mut Sink) {
    let (Some(said), Some(outcome)) = (&effect.direction, effect.outcome.to) else { return };
    let text = &claim.text;
    for sentence in sentences(&text.value) {
        let Some((way, verb)) = verbs::leans(&text.value[sentence.clone()], &case.catalog.outcomes[outcome]) else { continue };
        if way == said.value {
            continue;
        }
        let verb = sentence.start + verb.start..sentence.start + verb.end;
        let word = &text.value[verb.clone()];
        let message = format!("a claim says `{word}`, which is {}, beside `direction: {}`", way.word(), said.value.word());
        let at = case.place(text, verb.clone());
        sink.report(at, format!("reads as {}", way.word()), message)
            .also(said.span, format!("says {}", said.value.word()))
            .help("let the text and `direction` say the same; the text is what people read");
    }
}

fn answers(case: &Case<'_>, idx: Idx<Question>, question: &Question, sink: &mut Sink) {
    for (asked, facts) in question.outcomes.iter().zip(&case.facts.appraisal.of(idx).outcomes) {
        let (Some(said), Some(found)) = (&asked.direction, facts.direction) else { continue };
        if fits(said.value, found, asked.certainty.result.as_ref().map(|c| c.value)) {
            continue;
        }
        let numbers = asked.measure.as_ref().zip(facts.answer.shown()).map(|(m, e)| shown::estimate(m.value, &e));
        let id = &question.head.id.value;
        let message = format!("`{id}` answers `{}`, and its numbers come to `{}`", said.value.word(), found.word());
        let finding = sink.report(said.span, format!("says {}", said.value.word()), message);
        finding.also(asked.outcome.span(), numbers.clone().unwrap_or_default());
        if let Some(numbers) = numbers {
            finding.note(format!("{numbers}{}.", holds(found)));
        }
        finding.help(format!("write `direction: {}` and let the statement say so", found.word()));
    }
}

//! A claim about one outcome that rests on numbers about another, or whose text speaks of another.

use super::{named, shown};
use crate::checks::text::{taken_back, words};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::appraisal::{asked_about, claims};
use crate::finding::Level;
use crate::model::docs::{Claim, ClaimedEffect, Outcome, Question, RestsOn, ResultRef};
use crate::model::{Catalog, Idx};

/// The check.
pub static CHECK: Check = Check {
    name: "claim-outcome-differs",
    summary: "a claim names one outcome and rests on a result about another, or speaks of another",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("claim_outcome_differs.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (_, _, claim) in claims::all(case.catalog) {
        let Some(effect) = &claim.effect else { continue };
        let Some(wanted) = effect.outcome.to else { continue };
        let differs = match &effect.rests_on {
            Some(RestsOn::Question(q)) => q.to.is_some_and(|to| on_question(case.catalog, claim, effect, wanted, to, sink)),
            Some(RestsOn::Result(r)) => on_result(case.catalog, effect, wanted, r, sink),
            None => false,
        };
        if !differs {
            in_words(case, claim, effect, wanted, sink);
        }
    }
}

/// A claim whose text names another outcome and not its own. What a sentence denies, as in "says nothing about", is not claimed.
fn in_words(case: &Case<'_>, claim: &Claim, effect: &ClaimedEffect, wanted: Idx<Outcome>, sink: &mut Sink) {
    let text = &claim.text;
    let all = words(&text.value);
    let own = &case.catalog.outcomes[wanted];
    let by_id = own.head.id.value.replace('-', " ");
    if named::first(&all, &named::names(own).chain(std::iter::once(&*by_id))).is_some() {
        return;
    }
    let others = case.catalog.outcomes.iter().filter(|(i, _)| *i != wanted);
    let found =
        others.filter_map(|(_, o)| Some((named::first(&all, &named::names(o))?, o))).min_by_key(|(at, o)| (at.start, &o.head.id.value));
    let Some((at, other)) = found else { return };
    let (Some(first), Some(last)) = (all.get(at.start), all.get(at.end - 1)) else { return };
    if taken_back(all.get(..at.start).unwrap_or_default(), first, &text.value) {
        return;
    }
    let said = first.range.start..last.range.end;
    let (name, id) = (&own.name.value, &other.head.id.value);
    let message = format!("a claim is about {name}, and its text speaks of {}", &text.value[said.clone()]);
    sink.report(case.place(text, said), format!("this is `{id}`"), message)
        .also(effect.outcome.span(), "the claim is about this")
        .also(other.name.span, "another outcome")
        .help(format!("name {name} in the text; or write `outcome: {id}` and rest the claim on a result about it"));
}

/// True if the question asks about something else, or leads nowhere that could be told.
fn on_question(catalog: &Catalog, claim: &Claim, effect: &ClaimedEffect, wanted: Idx<Outcome>, to: Idx<Question>, sink: &mut Sink) -> bool {
    let question = &catalog.questions[to];
    if asked_about(question, wanted).is_some() {
        return false;
    }
    let asked: Vec<_> = question.outcomes.iter().filter_map(|a| a.outcome.to).map(|o| shown::outcome(catalog, o)).collect();
    // Outcomes that lead nowhere were reported.
    if asked.len() < question.outcomes.len() {
        return true;
    }
    let name = shown::outcome(catalog, wanted);
    let (id, asked) = (&question.head.id.value, shown::list(&asked));
    sink.report(effect.outcome.span(), "the claim is about this", format!("a claim is about {name}, and `{id}` asks about {asked} alone"))
        .also(claim.text.span, "the claim")
        .also(question.title.span, "asks about something else")
        .help(format!("claim what `{id}` answers, or add {name} with its results to the question"));
    true
}

/// True if the result is about something else, or leads nowhere.
fn on_result(catalog: &Catalog, effect: &ClaimedEffect, wanted: Idx<Outcome>, r: &ResultRef, sink: &mut Sink) -> bool {
    let Some(source) = r.source.to.map(|s| &catalog.sources[s]) else { return true };
    let Some(result) = r.row.and_then(|row| source.results.get(row)) else { return true };
    let Some(found) = result.outcome.to.filter(|o| *o != wanted) else { return false };
    let (name, other, id) = (shown::outcome(catalog, wanted), shown::outcome(catalog, found), &source.head.id.value);
    let numbers = |what: &str, of: &crate::model::docs::StudyResult| shown::result(of).map(|n| format!("{what}: {n}."));
    let message = format!("a claim is about {name}, and result `{}` of `{id}` is about {other}", result.id.value);
    let finding = sink.report(effect.outcome.span(), "the claim is about this", message);
    finding.also(r.result.span, "rests on this").also(result.outcome.span(), "which measured this");
    if let Some(note) = numbers(&format!("`{}`, {other}", result.id.value), result) {
        finding.note(note);
    }
    let own = source.results.iter().find(|x| x.outcome.to == Some(wanted));
    match own {
        Some(own) => {
            if let Some(note) = numbers(&format!("`{}`, {name}", own.id.value), own) {
                finding.note(note);
            }
            finding.help(format!("rest the claim on result `{}` and say what that result says, or claim {other} alone", own.id.value));
        }
        None => {
            finding.help(format!("claim {other} alone, or rest the claim on a result about {name}"));
        }
    }
    true
}

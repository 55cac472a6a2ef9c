//! A claim about one outcome that rests on numbers about another.

use super::shown;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::appraisal::{asked_about, claims};
use crate::finding::Level;
use crate::model::docs::{Claim, ClaimedEffect, Outcome, Question, RestsOn, ResultRef};
use crate::model::{Catalog, Idx};

/// The check.
pub static CHECK: Check = Check {
    name: "claim-outcome-differs",
    summary: "a claim speaks of one outcome and rests on a result about another",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("claim_outcome_differs.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (_, _, claim) in claims::all(case.catalog) {
        let Some(effect) = &claim.effect else { continue };
        let (Some(wanted), Some(rests)) = (effect.outcome.to, &effect.rests_on) else { continue };
        match rests {
            RestsOn::Question(q) => {
                if let Some(to) = q.to {
                    on_question(case.catalog, claim, effect, wanted, to, sink);
                }
            }
            RestsOn::Result(r) => on_result(case.catalog, effect, wanted, r, sink),
        }
    }
}

fn on_question(catalog: &Catalog, claim: &Claim, effect: &ClaimedEffect, wanted: Idx<Outcome>, to: Idx<Question>, sink: &mut Sink) {
    let question = &catalog.questions[to];
    if asked_about(question, wanted).is_some() {
        return;
    }
    let asked: Vec<_> = question.outcomes.iter().filter_map(|a| a.outcome.to).map(|o| shown::outcome(catalog, o)).collect();
    // Outcomes that lead nowhere were reported.
    if asked.len() < question.outcomes.len() {
        return;
    }
    let name = shown::outcome(catalog, wanted);
    let (id, asked) = (&question.head.id.value, shown::list(&asked));
    sink.report(effect.outcome.span(), "the claim is about this", format!("a claim is about {name}, and `{id}` asks about {asked} alone"))
        .also(claim.text.span, "the claim")
        .also(question.title.span, "asks about something else")
        .help(format!("claim what `{id}` answers, or add {name} with its results to the question"));
}

fn on_result(catalog: &Catalog, effect: &ClaimedEffect, wanted: Idx<Outcome>, r: &ResultRef, sink: &mut Sink) {
    let Some(source) = r.source.to.map(|s| &catalog.sources[s]) else { return };
    let Some(result) = r.row.and_then(|row| source.results.get(row)) else { return };
    let Some(found) = result.outcome.to.filter(|o| *o != wanted) else { return };
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
}

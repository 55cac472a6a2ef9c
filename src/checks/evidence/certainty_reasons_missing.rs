//! A certainty without the reasons that led to it.

use crate::checks::{Case, Check, Run, Sink};
use crate::compute::appraisal::claims::{self, Support};
use crate::finding::Level;
use crate::model::Catalog;
use crate::model::docs::{Claim, Rating};

/// The check.
pub static CHECK: Check = Check {
    name: "certainty-reasons-missing",
    summary: "a certainty, or a step of it, gives no reason",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("certainty_reasons_missing.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for question in case.catalog.questions.rows() {
        question.outcomes.iter().for_each(|a| rating(&question.head.id.value, &a.certainty, sink));
    }
    for (_, _, claim) in claims::all(case.catalog) {
        alone(case.catalog, claim, sink);
    }
}

fn rating(id: &str, rating: &Rating, sink: &mut Sink) {
    for step in rating.steps.iter().filter(|s| s.steps > 0 && s.why.is_none()) {
        let way = if step.domain.value.lowers() { "down" } else { "up" };
        let message = format!("`{id}` moves certainty {way} by {} for {} and does not say why", step.steps, step.domain.value.word());
        sink.report(step.domain.span, "no reason", message).help("add `why` with what was seen in these studies");
    }
    if let (Some(start), Some(result)) = (&rating.start, &rating.result)
        && rating.steps.iter().all(|s| s.steps == 0)
        && start.value != result.value
    {
        let message = format!("`{id}` starts at {} and ends at {} without a step", start.value.word(), result.value.word());
        sink.report(result.span, "no step leads here", message)
            .also(start.span, "starts here")
            .help("add each step under `steps` as `{for: …, steps: …, why: …}`");
    }
}

/// A claim that states a certainty of its own.
fn alone(catalog: &Catalog, claim: &Claim, sink: &mut Sink) {
    let Some(certainty) = &claim.certainty else { return };
    let by_question =
        claim.effect.as_ref().and_then(|e| claims::support(catalog, e)).is_some_and(|s| matches!(s, Support::Question { .. }));
    if claim.why.is_none() && !by_question {
        let message = format!("a claim states {} certainty, with neither a question nor a reason", certainty.value.word());
        sink.report(certainty.span, "no reason", message)
            .also(claim.text.span, "the claim")
            .help("name the `question` that came to it, or add `why` to the claim");
    }
}

//! A claim about people whom its ground does not speak for.

use crate::checks::{Case, Check, Run, Sink};
use crate::compute::appraisal::claims::{self, Support, speaks_for};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "claim-population-differs",
    summary: "a claim speaks of people whom its result does not cover",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("claim_population_differs.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let catalog = case.catalog;
    for (_, _, claim) in claims::all(catalog) {
        let Some(effect) = &claim.effect else { continue };
        let (Some(who), Some(support)) = (&effect.who, claims::support(catalog, effect)) else { continue };
        let (Some(wanted), Some(studied)) = (who.to, support.who(catalog)) else { continue };
        if speaks_for(catalog, studied, wanted) {
            continue;
        }
        let (of, place) = match &support {
            Support::Question { question, .. } => {
                let question = &catalog.questions[*question];
                (format!("`{}`", question.head.id.value), Some(question.who.span()))
            }
            Support::Result { source, result } => {
                let source = &catalog.sources[*source];
                let who = result.who.as_ref().or(source.who.as_ref());
                (format!("result `{}` of `{}`", result.id.value, source.head.id.value), who.map(crate::model::Ref::span))
            }
        };
        let (people, others) = (&catalog.populations[wanted].name.value, &catalog.populations[studied].name.value);
        let message = format!("a claim is about {people}, and {of} is about {others}");
        let finding = sink.report(who.span(), "the claim is about them", message);
        if let Some(place) = place {
            finding.also(place, "who was studied");
        }
        finding
            .note("A result speaks for the people who were studied and for narrower groups of them (`in` of a population), never for wider or other ones.")
            .help(format!("claim it for {others}, or say in the text that it was found in them and is carried over"));
    }
}

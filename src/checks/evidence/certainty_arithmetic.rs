//! Start, steps and result of a certainty that do not add up, or a start that the designs do not give.

use crate::checks::{Case, Check, Run, Sink};
use crate::compute::appraisal::certainty::{Made, made};
use crate::finding::Level;
use crate::model::Catalog;
use crate::model::docs::{Asked, Question};
use crate::model::evidence::Certainty;
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "certainty-arithmetic",
    summary: "start, steps and result of a certainty do not fit each other or the designs",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("certainty_arithmetic.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for question in case.catalog.questions.rows() {
        for asked in &question.outcomes {
            sum(question, asked, sink);
            start(case.catalog, question, asked, sink);
        }
    }
}

fn sum(question: &Question, asked: &Asked, sink: &mut Sink) {
    let rating = &asked.certainty;
    let (Some(start), Some(result), Some(reckoned)) = (&rating.start, &rating.result, rating.reckoned()) else { return };
    let moves = rating.steps.iter().filter(|s| s.steps > 0);
    let (down, up): (Vec<_>, Vec<_>) = moves.partition(|s| s.domain.value.lowers());
    if reckoned == result.value || (down.is_empty() && up.is_empty()) {
        return;
    }
    let total = |steps: &[&crate::model::docs::RatingStep]| steps.iter().map(|s| u32::from(s.steps)).sum::<u32>();
    let (down, up) = (total(&down), total(&up));
    let (from, to) = (start.value.word(), result.value.word());
    let moved = match (down, up) {
        (_, 0) => format!("{down} down"),
        (0, _) => format!("{up} up"),
        _ => format!("{down} down and {up} up"),
    };
    let message = format!("`{}` starts at {from}, goes {moved}, and is called {to}", question.head.id.value);
    sink.report(result.span, format!("the steps lead to {}", reckoned.word()), message)
        .also(start.span, "starts here")
        .help(format!("write `result: {}`, or mend the steps", reckoned.word()));
}

fn start(catalog: &Catalog, question: &Question, asked: &Asked, sink: &mut Sink) {
    let Some(start) = &asked.certainty.start else { return };
    let id = &question.head.id.value;
    if let Some((wanted, because)) = expected(made(catalog, asked)).filter(|(wanted, _)| *wanted != start.value) {
        let message = format!("the certainty of `{id}` starts at {}, and {because}", start.value.word());
        let finding = sink.report(start.span, format!("{} is the start", wanted.word()), message);
        if let Some((at, word)) = design(catalog, asked, wanted) {
            finding.also(at, word);
        }
        finding
            .note("Randomised trials start high, other studies low (Guyatt 2008, BMJ 336:924-926).")
            .help(format!("write `start: {}` and reckon the steps again from there", wanted.word()));
    } else if !matches!(start.value, Certainty::High | Certainty::Low) {
        let message = format!("the certainty of `{id}` starts at {}, where no design starts", start.value.word());
        sink.report(start.span, "no start", message).help("start `high` for randomised trials and `low` for other studies");
    }
    if made(catalog, asked) == Made::Randomised {
        for step in asked.certainty.steps.iter().filter(|s| s.steps > 0 && !s.domain.value.lowers()) {
            let message = format!("`{id}` raises the certainty of randomised trials for {}", step.domain.value.word());
            sink.report(step.domain.span, "a step up", message)
                .note("Steps up are for studies without randomisation, which start low (Guyatt 2008, BMJ 336:924-926).")
                .help("take the step out");
        }
    }
}

fn expected(made: Made) -> Option<(Certainty, &'static str)> {
    match made {
        Made::Randomised => Some((Certainty::High, "its studies are randomised trials")),
        Made::Otherwise => Some((Certainty::Low, "it holds studies that are not randomised")),
        Made::Unknown => None,
    }
}

/// The first design that asks for this start.
fn design(catalog: &Catalog, asked: &Asked, wanted: Certainty) -> Option<(Span, &'static str)> {
    let designs = asked.results.iter().filter_map(|r| catalog.sources[r.source.to?].design.as_ref());
    let fits = |d: &&crate::source::Spanned<crate::model::evidence::Design>| {
        (d.value == crate::model::evidence::Design::RandomisedTrial) == (wanted == Certainty::High)
    };
    designs.into_iter().find(fits).map(|d| (d.span, d.value.word()))
}

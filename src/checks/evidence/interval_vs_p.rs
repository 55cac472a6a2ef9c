//! A p value that its interval cannot have.

use super::shown;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::appraisal::arithmetic::{Odds, freedom, odds};
use crate::finding::Level;
use crate::model::docs::{Data, Printed, Source, StudyResult};

/// The check.
pub static CHECK: Check = Check {
    name: "interval-vs-p",
    summary: "a printed interval and its p say different things",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("interval_vs_p.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for source in case.catalog.sources.rows() {
        for result in &source.results {
            let estimate = match &result.data {
                Data::Estimate(printed) => Some(printed),
                _ => None,
            };
            for printed in estimate.into_iter().chain(&result.printed) {
                judge(source, result, printed, sink);
            }
        }
    }
}

fn judge(source: &Source, result: &StudyResult, printed: &Printed, sink: &mut Sink) {
    let (Some(Odds::P { follows: [least, most] }), Some(p)) = (odds(printed, freedom(source, result)), &printed.p) else { return };
    let numbers = shown::printed(printed);
    let message = format!("`{}` of `{}` prints {numbers}: interval and p do not fit", result.id.value, source.head.id.value);
    let range = if shown::number(least) == shown::number(most) {
        shown::number(least)
    } else {
        format!("{} to {}", shown::number(least), shown::number(most))
    };
    let finding = sink.report(p.written.span, format!("the interval gives {range}"), message);
    if let Some([low, high]) = &printed.interval {
        finding.also(low.span, "from here").also(high.span, "to here");
        if let Some(null) = printed.measure.value.null() {
            let holds = (low.value..=high.value).contains(&null);
            finding.note(format!(
                "The interval {} no effect ({null}), so p is {} 0.05 at 95\u{a0}%.",
                if holds { "holds" } else { "leaves out" },
                if holds { "above" } else { "below" }
            ));
        }
    }
    finding.help("look up value, interval and p again; one of them is mistyped or belongs to another comparison");
}

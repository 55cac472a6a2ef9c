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
    let (least, most) = (shown::p(least), shown::p(most));
    let range = if least == most { least } else { format!("{least} to {most}") };
    let finding = sink.report(p.written.span, format!("the interval gives {range}"), message);
    if let Some([low, high]) = &printed.interval {
        finding.also(low.span, "from here").also(high.span, "to here");
        if let Some(null) = printed.measure.value.null() {
            let holds = (low.value..=high.value).contains(&null);
            let level = printed.level.as_ref().map_or(95.0, |l| l.value);
            finding.note(format!(
                "The {level}\u{a0}% interval {} no effect ({null}), so p is {} {}.",
                if holds { "holds" } else { "leaves out" },
                if holds { "above" } else { "below" },
                shown::number((100.0 - level) / 100.0)
            ));
        }
    }
    finding.help("look up value, interval and p again; one of them is mistyped or belongs to another comparison");
}

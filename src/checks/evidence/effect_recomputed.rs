//! A printed effect that does not follow from the groups it comes from.

use super::shown;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::appraisal::arithmetic::{Misfit, Odds, Recomputed, Slip, odds, recomputed};
use crate::finding::Level;
use crate::model::docs::{Data, Printed, Source, Spread, StudyResult};

/// The check.
pub static CHECK: Check = Check {
    name: "effect-recomputed",
    summary: "a printed effect, interval or p does not follow from its groups",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("effect_recomputed.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for source in case.catalog.sources.rows() {
        for result in &source.results {
            let groups = recomputed(result);
            if let (Some(found), Some(printed)) = (&groups, &result.printed) {
                report(source, result, printed, found, sink);
                continue;
            }
            let estimate = match &result.data {
                Data::Estimate(printed) => Some(printed),
                _ => None,
            };
            for printed in estimate.into_iter().chain(&result.printed) {
                crooked(source, result, printed, sink);
            }
        }
    }
}

fn report(source: &Source, result: &StudyResult, printed: &Printed, found: &Recomputed, sink: &mut Sink) {
    let what = match found.misfit {
        Misfit::Value => "value",
        Misfit::Interval => "interval",
        Misfit::P => "p",
    };
    let follows = match (found.misfit, found.p) {
        (Misfit::P, Some(p)) => format!("p {}", shown::p(p)),
        _ => shown::estimate(printed.measure.value, &found.follows),
    };
    let message =
        format!("`{}` of `{}` prints {}, and its groups give {follows}", result.id.value, source.head.id.value, shown::printed(printed));
    let at = match (found.misfit, &printed.ends, &printed.p) {
        (Misfit::Interval, Some([low, _]), _) => low.span,
        (Misfit::P, _, Some(p)) => p.written.span,
        _ => printed.value.span,
    };
    let finding = sink.report(at, format!("this {what} does not follow"), message);
    if let Data::Means(groups) = &result.data {
        for group in groups {
            let spread = match &group.spread {
                Spread::Sd(_) => "taken as standard deviation",
                Spread::Se(_) => "taken as standard error",
                Spread::Missing => "no spread",
            };
            finding.also(group.span, spread);
        }
    }
    match found.slip {
        Some(Slip::SeAsSd) => finding
            .note("With these spreads read as standard errors the groups give what is printed. A standard error is the standard deviation over the root of n, so an effect or its certainty grows by that root.")
            .help("write `se` in place of `sd`, if the table says so"),
        Some(Slip::SdAsSe) => finding
            .note("With these spreads read as standard deviations the groups give what is printed.")
            .help("write `sd` in place of `se`, if the table says so"),
        Some(Slip::Reversed) => finding
            .note("With the two groups changed about the numbers fit.")
            .help("the first group is the treated one and the effect is treated less comparator: change the groups about, or the signs"),
        None => finding
            .note("Every usual formula was tried, each number at both ends of what its digits may stand for.")
            .help("look all numbers up again; an effect that was adjusted for other things goes into `estimate`, without the groups"),
    };
}

fn crooked(source: &Source, result: &StudyResult, printed: &Printed, sink: &mut Sink) {
    let (id, of) = (&result.id.value, &source.head.id.value);
    let at = printed.value.span;
    match odds(printed, None) {
        Some(Odds::Outside) => {
            let message = format!("`{id}` of `{of}` prints {}: the value lies outside its interval", shown::printed(printed));
            sink.report(at, "outside", message).help("look up the three numbers; a sign or a digit is lost");
        }
        Some(Odds::OffCentre { middle }) => {
            let message =
                format!("`{id}` of `{of}` prints {}, and the middle of the interval is {}", shown::printed(printed), shown::number(middle));
            sink.report(at, format!("{} would lie in the middle", shown::number(middle)), message)
                .note("Such an interval lies evenly around its value, for a ratio on the logarithm, within the rounding of the printed digits.")
                .help("look up the three numbers; one of them is mistyped, or the source used another way to make the interval");
        }
        Some(Odds::P { .. }) | None => {}
    }
}

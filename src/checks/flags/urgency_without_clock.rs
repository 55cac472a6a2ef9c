//! An urgency that is an adjective.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::nearest;
use crate::model::vocabulary::Urgency;

/// The check.
pub static CHECK: Check = Check {
    name: "urgency-without-clock",
    summary: "an urgency is not one of the tiers that have a time behind them",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("urgency_without_clock.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for flag in case.catalog.flags.rows().iter().filter(|f| f.urgency.is_none()) {
        let written = &flag.urgency_written;
        let tiers = Urgency::ALL.iter().map(|u| format!("`{}` ({})", u.word(), u.clock())).collect::<Vec<_>>().join(", ");
        let near = nearest(&written.value, Urgency::ALL.iter().map(|u| u.word()));
        let label = near.map_or_else(|| "by when?".to_string(), |n| format!("did you mean `{n}`?"));
        sink.report(written.span, label, format!("`{}` has the urgency `{}`, which is no time", flag.name.value, written.value))
            .help(format!("write one of: {tiers}"));
    }
}

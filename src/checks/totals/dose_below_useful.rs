//! A dose that is too small to be of use at its low end.

use crate::checks::dose::item::items;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::amount::shown;
use crate::finding::Level;
use crate::model::interval::{Interval, exceeds};

/// The check.
pub static CHECK: Check = Check {
    name: "dose-below-useful",
    summary: "the low end of a dose is below the least that its technique calls useful",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("dose_below_useful.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for item in items(case) {
        for (stressor, least) in &item.technique.least {
            let Some((dim, total)) = item.facts.load(stressor.value).and_then(|l| l.total) else { continue };
            if dim != least.value.dim() || total.hi.is_infinite() || !exceeds(least.value.base().lo, total.lo) {
                continue;
            }
            let (low, wanted) = (shown(dim, Interval::exact(total.lo)), least.value.shown());
            let message =
                format!("{} gives {low} of {} at the low end, and {wanted} is the least of use", item.name, stressor.value.word());
            sink.report(item.dose_at(), format!("{low} in all"), message)
                .also(least.span, format!("the least of {}", item.technique.name.value))
                .help(format!("raise the low ends until they come to {wanted}, or leave the step out"));
        }
    }
}

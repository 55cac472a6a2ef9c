//! A treated region calls for a red-flag topic that no flag covers there.

use super::{by_topic, is_treated, say_what_to_write, written_at};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::flags::{Uncovered, Why};
use crate::finding::Level;
use crate::model::docs::Protocol;
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "flag-missing-for-region",
    summary: "a treated region calls for a red-flag topic that no flag covers there",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("flag_missing_for_region.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        for (topic, gaps) in by_topic(&case.facts.of(idx).flags.uncovered) {
            if let Some(first) = gaps.iter().find(|g| is_treated(g)) {
                report(case, protocol, topic, first, &gaps, sink);
            }
        }
    }
}

fn report(case: &Case<'_>, protocol: &Protocol, topic: &str, first: &Uncovered, gaps: &[&Uncovered], sink: &mut Sink) {
    let place = first.reason.place.shown().to_lowercase();
    let message = format!("`{}` treats {place}, and no red flag covers `{topic}` there", protocol.title.value);
    let at = at(protocol, first).unwrap_or(protocol.title.span);
    let finding = sink.report(at, format!("{place} calls for `{topic}`"), message);
    say_what_to_write(case, topic, gaps, finding);
}

/// The region as written, or the target of the step.
fn at(protocol: &Protocol, gap: &Uncovered) -> Option<Span> {
    let (target, action) = match gap.reason.why {
        Why::Treated(row) => protocol.steps.get(row).map(|s| (&s.target, s.action.span))?,
        Why::AtHome(row) => protocol.home.get(row).map(|h| (&h.target, h.action.span))?,
        Why::RefersFrom(_) => return None,
    };
    let point = target.point.as_ref().map(|p| p.span);
    written_at(&target.regions, gap.reason.place).or(point).or(target.span).or(Some(action))
}

//! More thumb pressure in a protocol than the house asks of a clinician.

use crate::checks::{Case, Check, Run, Sink};
use crate::compute::amount::shown;
use crate::finding::Level;
use crate::model::interval::exceeds;
use crate::model::unit::Dim;

/// The check.
pub static CHECK: Check = Check {
    name: "thumb-time-high",
    summary: "a protocol asks for more thumb pressure than the house allows its clinicians",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("thumb_time_high.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (own, protocol) in case.catalog.protocols.iter() {
        let (thumb, pack) = (&case.facts.of(own).thumb, case.pack(&protocol.head));
        if let (Some((row, longest)), Some(most)) = (thumb.longest, &pack.thumb_hold)
            && exceeds(longest.hi, most.value.base().hi)
            && let Some(step) = protocol.steps.get(row)
        {
            let message = format!(
                "step {} holds the thumb down for up to {} without a break, and the house allows {}",
                step.number.value,
                shown(Dim::Time, longest),
                most.value.shown()
            );
            let finding = sink.report(step.action.span, "the longest hold", message);
            finding.also(most.span, "the house limit").help("shorten the hold, or use another contact");
        }
        if let (Some(total), Some(most)) = (thumb.total, &pack.thumb_session)
            && exceeds(total.hi, most.value.base().hi)
        {
            let message = format!(
                "thumb pressure of this protocol adds up to {}, and the house allows {} in a session",
                shown(Dim::Time, total),
                most.value.shown()
            );
            let finding = sink.report(protocol.title.span, "too much for one pair of thumbs", message);
            for step in thumb.steps.iter().filter_map(|row| protocol.steps.get(*row)) {
                finding.also(step.action.span, format!("step {}", step.number.value));
            }
            finding.also(most.span, "the house limit").help("leave a point out, shorten the holds, or do some of them with knuckles or forearm and name that contact alone in a technique of its own");
        }
    }
}

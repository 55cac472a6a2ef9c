//! Pain zones that do not say how many people showed them.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "zone-share-unknown",
    summary: "a pain zone does not say how many people showed it",
    level: Level::Note,
    run: Run::Facts(run),
    page: include_str!("zone_share_unknown.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for muscle in case.catalog.muscles.rows() {
        for point in &muscle.points {
            let said = |share: &Option<crate::source::Text>| share.as_ref().is_some_and(|s| !s.value.trim().is_empty());
            if let Some(zone) = point.zone.as_ref().filter(|z| !said(&z.share)) {
                let message = format!(
                    "the pain zone of point {} of {} does not say how many people showed it",
                    point.number.value, muscle.name.value
                );
                sink.report(zone.span, "in how many people?", message)
                    .help("add `share:` with the share that the source reports, or `share: not reported`");
            }
        }
    }
}

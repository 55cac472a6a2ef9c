//! Pain zones that rest on nothing.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "zone-unsourced",
    summary: "a pain zone has neither source nor basis",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("zone_unsourced.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for muscle in case.catalog.muscles.rows() {
        for point in &muscle.points {
            if let Some(zone) = point.zone.as_ref().filter(|z| z.ground.is_silent()) {
                let message = format!("the pain zone of point {} of {} has no source and no basis", point.number.value, muscle.name.value);
                sink.report(zone.span, "according to whom?", message)
                    .help("add `cite:` with the source, or `basis: common practice` if it is taught without one");
            }
        }
    }
}

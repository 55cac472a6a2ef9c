//! A change that was written for another state of the base document.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "override-base-moved",
    summary: "the base document has changed since the change of it was written",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("override_base_moved.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for change in case.catalog.changes.rows() {
        let (Some(house), Some(of), Some(base)) = (case.facts.house(change.head.pack), &change.of, &change.base) else { continue };
        let Some(now) = house.facts.currency.named(&of.value).map(|s| s.own).filter(|now| *now != base.value) else { continue };
        let message = format!("`{}` has changed in the base pack since this change was written", of.value);
        sink.report(base.span, "written for another state", message)
            .note("What was a tightening then may be a loosening now.")
            .help(format!("read `{}` as it is now, decide again, then write {now}", of.value));
    }
}

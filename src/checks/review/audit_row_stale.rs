//! A recorded verdict on a row that is gone or reads otherwise now.

use crate::checks::{Case, Check, Run, Sink};
use crate::compute::dossier::reading::{Standing, standing};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "audit-row-stale",
    summary: "a row that a reader recorded is gone or has changed since",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("audit_row_stale.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    // A document that cannot be read takes its rows along; its own fault is reported already.
    if !case.catalog.complete {
        return;
    }
    let dossier = &case.facts.dossier;
    for read in case.catalog.audits.rows().iter().flat_map(|a| &a.reading).flat_map(|r| &r.rows) {
        match standing(dossier, read) {
            Standing::Same => {}
            Standing::Gone => {
                sink.report(read.row.span, "no such row", format!("the row `{}` of a recorded reading is gone", read.id()))
                    .note("Its verdict counts for nothing any more.")
                    .help("take the verdict out, and draw and read again");
            }
            Standing::Changed => {
                let Some(row) = dossier.row(read.id()) else { continue };
                let message = format!("the row `{}` has changed since it was read", read.id());
                sink.report(read.row.span, "read before the change", message)
                    .also(row.at, "what stands here now was not read")
                    .note("Its verdict counts for nothing until it is read again.")
                    .help(format!("read it again against its source, then write `{}.{}`", row.id, row.mark));
            }
        }
    }
}

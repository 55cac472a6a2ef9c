//! A kept edition that cannot be read or does not fit its digests.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "kept-edition-damaged",
    summary: "an edition kept at sign-off cannot be read, or what it keeps does not fit its digests",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("kept_edition_damaged.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (text, kept) in case.catalog.kept.iter().zip(&case.facts.currency.kept) {
        let Err(why) = kept else { continue };
        let pack = &case.catalog.packs[text.pack];
        sink.report(pack.head.at, "pack of the edition", format!("editions/{}.json is damaged: {why}", text.edition))
            .note("Approvals hold without it; what has changed since them can no longer be told.")
            .help("bring the file back from your version control, or delete it");
    }
}

//! A list of cautions typed into a protocol.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "caution-hand-typed",
    summary: "a protocol lists cautions of its own instead of leaving them to the conditions",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("caution_hand_typed.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for protocol in case.catalog.protocols.rows() {
        let Some((first, rest)) = protocol.cautions.split_first() else { continue };
        let count = if rest.is_empty() { "a caution".to_string() } else { format!("{} cautions", protocol.cautions.len()) };
        let finding = sink.report(first.span, "typed by hand", format!("`{}` has {count} typed by hand", protocol.title.value));
        for item in rest {
            finding.also(item.span, "and here");
        }
        finding
            .note("Cautions are derived for every step from conditions/, so that no protocol can forget one.")
            .help("put what it says into a document in conditions/ and delete `cautions:`");
    }
}

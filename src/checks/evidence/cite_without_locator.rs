//! A citation that does not say where in the source.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "cite-without-locator",
    summary: "a citation does not say where in the source: page, table or section",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("cite_without_locator.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (_, cite) in case.catalog.cites.iter().filter(|(_, c)| c.at.is_none()) {
        let Some(source) = cite.source.to.map(|s| &case.catalog.sources[s]) else { continue };
        let pages = source.bibliography.part(crate::model::docs::Part::Page).map(|p| format!(", pages {}", p.value)).unwrap_or_default();
        let id = &source.head.id.value;
        sink.report(
            cite.source.span(),
            format!("where in it?{}", pages.replacen(',', "", 1)),
            format!("`{id}` is cited without a place in it"),
        )
        .note("A reader who has to search a whole work will not look.")
        .help("add `at:` with page, table, figure, section or `abstract`");
    }
}

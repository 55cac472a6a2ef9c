//! One publication entered twice.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::Source;
use crate::model::identifier::Scheme;
use crate::source::Span;
use std::collections::BTreeMap;

/// The check.
pub static CHECK: Check = Check {
    name: "source-duplicate",
    summary: "two sources have the same DOI or PubMed number",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("source_duplicate.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let mut seen: BTreeMap<(Scheme, String), (&Source, Span)> = BTreeMap::new();
    for source in case.catalog.sources.rows() {
        // One finding for a pair, even if both numbers agree.
        for number in [Scheme::Doi, Scheme::Pmid].into_iter().filter_map(|s| source.bibliography.identifier(s)) {
            let key = (number.value.scheme(), number.value.sameness());
            let Some((first, first_at)) = seen.get(&key).copied() else {
                seen.insert(key, (source, number.span));
                continue;
            };
            let what = if key.0 == Scheme::Doi { "DOI" } else { "PubMed number" };
            let message = format!("`{}` and `{}` have the same {what}", first.head.id.value, source.head.id.value);
            sink.report(number.span, "again here", message)
                .also(first_at, "first here")
                .help(format!("cite `{}` everywhere and delete the other, or mend the number", first.head.id.value));
            break;
        }
    }
}

//! One publication entered twice.

use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::Source;
use crate::source::Text;
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
    let mut seen: BTreeMap<String, (&Source, &Text)> = BTreeMap::new();
    for source in case.catalog.sources.rows() {
        let doi = source.doi.iter().map(|d| ("DOI", format!("doi {}", plain_doi(&d.value)), d));
        let pmid = source.pmid.iter().map(|p| ("PubMed number", format!("pmid {}", plain_pmid(&p.value)), p));
        // One finding for a pair, even if both numbers agree.
        for (what, key, at) in doi.chain(pmid) {
            let Some((first, first_at)) = seen.get(&key).copied() else {
                seen.insert(key, (source, at));
                continue;
            };
            let message = format!("`{}` and `{}` have the same {what}", first.head.id.value, source.head.id.value);
            sink.report(at.span, "again here", message)
                .also(first_at.span, "first here")
                .help(format!("cite `{}` everywhere and delete the other, or mend the number", first.head.id.value));
            break;
        }
    }
}

/// A DOI is the same in any case and behind any resolver.
fn plain_doi(written: &str) -> String {
    let lower = written.trim().to_lowercase();
    lower.find("10.").map_or(lower.clone(), |i| lower[i..].trim_end_matches('/').to_string())
}

fn plain_pmid(written: &str) -> String {
    let digits: String = written.chars().filter(char::is_ascii_digit).collect();
    digits.trim_start_matches('0').to_string()
}

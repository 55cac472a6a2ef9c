//! What authors conclude and none of their results shows.

use super::shown;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::appraisal::conclusions::beyond;
use crate::finding::Level;
use crate::model::docs::Source;

/// The check.
pub static CHECK: Check = Check {
    name: "conclusion-beyond-results",
    summary: "a source concludes what none of its results shows",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("conclusion_beyond_results.md"),
};

/// Results that a finding points at; more would only be long.
const SHOWN: usize = 4;

fn run(case: &Case<'_>, sink: &mut Sink) {
    for source in case.catalog.sources.rows() {
        for conclusion in &source.conclusions {
            let Some(found) = beyond(case.catalog, source, conclusion) else { continue };
            let (at, said) = match (&conclusion.arm, &conclusion.found) {
                (Some(arm), _) => (arm.span, format!("recommends {}", name(source, &arm.value))),
                (None, Some(way)) => (way.span, format!("says `{}`", way.value.word())),
                (None, None) => continue,
            };
            let shows = if conclusion.arm.is_some() && !found.better.is_empty() {
                let better: Vec<&str> = found.better.iter().map(|a| name(source, a)).collect();
                format!("its results show {}", shown::list(&better))
            } else {
                let mut ways: Vec<&str> = found.results.iter().map(|(_, d)| d.word()).collect();
                ways.sort_unstable();
                ways.dedup();
                format!("its results come to {}", shown::list(&ways))
            };
            let message = format!("the conclusion of `{}` {said}, and {shows}", source.head.id.value);
            let finding = sink.report(at, "no result shows this", message);
            finding.also(conclusion.words.span, "the conclusion");
            for (result, way) in found.results.iter().take(SHOWN) {
                finding.also(result.id.span, format!("comes to {}", way.word()));
            }
            finding
                .note("Results count; a conclusion is an opinion about them.")
                .help("look whether a result is missing here; if not, keep the conclusion, allow the finding with that reason, and use the results");
        }
    }
}

fn name<'a>(source: &'a Source, arm: &'a str) -> &'a str {
    source.arm(arm).map_or(arm, |a| &a.name.value)
}

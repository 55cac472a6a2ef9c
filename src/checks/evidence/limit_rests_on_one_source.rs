//! A safety limit that one weak source carries alone.

use super::shown;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::{Limit, Source};
use crate::model::evidence::Design;
use std::collections::BTreeSet;

/// The check.
pub static CHECK: Check = Check {
    name: "limit-rests-on-one-source",
    summary: "one weak source alone carries a safety limit",
    level: Level::Note,
    run: Run::Facts(run),
    page: include_str!("limit_rests_on_one_source.md"),
};

/// From this level on a source is weak (case series, reasoning from mechanism; OCEBM 2011).
const WEAK_LEVEL: u32 = 4;

fn run(case: &Case<'_>, sink: &mut Sink) {
    let techniques = case.catalog.techniques.rows().iter().flat_map(|t| t.limits.iter().map(|l| (l, &t.name.value)));
    let house = case.catalog.packs.rows().iter().flat_map(|p| p.limits.iter().map(|l| (l, &p.title.value)));
    for (limit, whose) in techniques.chain(house) {
        judge(case, limit, whose, sink);
    }
}

fn judge(case: &Case<'_>, limit: &Limit, whose: &str, sink: &mut Sink) {
    // A limit that the house sets as its own does not rest on the source alone.
    if limit.ground.basis.is_some() {
        return;
    }
    let cited: BTreeSet<_> = limit.ground.cites.iter().filter_map(|c| c.source.to).collect();
    let ([cite, ..], 1) = (&*limit.ground.cites, cited.len()) else { return };
    let Some(source) = cite.source.to.map(|s| &case.catalog.sources[s]) else { return };
    let Some(why) = weak(source) else { return };
    let at = limit.max.as_ref().map_or(limit.span, |m| m.span);
    let message = format!("the limit on {} in {whose} rests on `{}` alone, {why}", limit.stressor.word(), source.head.id.value);
    sink.report(at, "rests on one weak source", message)
        .also(source.design.as_ref().map_or(source.head.id.span, |d| d.span), "the source")
        .help("cite a second source; or add `basis: house practice` and say in `why` that the house sets this limit itself");
}

/// Why a source is weak for a limit; `None` if it is not.
fn weak(source: &Source) -> Option<String> {
    if source.seen.as_ref().is_some_and(|s| &*s.value == "from memory") {
        return Some("which was entered from memory".into());
    }
    if let Some(level) = &source.level {
        return (level.number.value >= WEAK_LEVEL).then(|| format!("a source of level {}", level.number.value));
    }
    let design = source.design.as_ref()?.value;
    let low = matches!(
        design,
        Design::CaseSeries
            | Design::CaseReport
            | Design::LaboratoryStudy
            | Design::Narrative
            | Design::Handbook
            | Design::Survey
            | Design::Consensus
    );
    low.then(|| shown::one(design.word()))
}

//! A level of evidence that the design cannot have, and benefit claimed from reasoning alone.

use super::shown;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::appraisal::claims;
use crate::compute::appraisal::levels::{MECHANISM, best, for_benefit};
use crate::finding::Level;
use crate::model::Catalog;
use crate::model::docs::{Claim, Source};
use crate::model::evidence::Direction;
use std::collections::BTreeSet;

/// The check.
pub static CHECK: Check = Check {
    name: "level-vs-design",
    summary: "a level of evidence outruns the design, or benefit rests on mechanism alone",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("level_vs_design.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for source in case.catalog.sources.rows() {
        let (Some(level), Some(design)) = (&source.level, &source.design) else { continue };
        let (number, best) = (level.number.value, best(design.value, level.asks));
        if number < best {
            let message = format!(
                "`{}` is called level {number} for {}, and {} is level {best} at best",
                source.head.id.value,
                level.asks.word(),
                shown::one(design.value.word())
            );
            sink.report(level.number.span, format!("{best} at best"), message)
                .also(design.span, "the design")
                .note("Levels of the Oxford Centre for Evidence-Based Medicine, 2011; where its table names no such design, by likeness.")
                .help(format!("write `number: {best}` or higher; a level is no certainty and can only be lowered for quality"));
        }
    }
    for (_, _, claim) in claims::all(case.catalog) {
        benefit(case.catalog, claim, sink);
    }
}

/// A claim of benefit that rests on nothing but mechanism.
fn benefit(catalog: &Catalog, claim: &Claim, sink: &mut Sink) {
    let Some(effect) = &claim.effect else { return };
    let Some(direction) = effect.direction.as_ref().filter(|d| d.value == Direction::Better) else { return };
    // A source may carry a claim by several results.
    let carrying: BTreeSet<_> = match claims::support(catalog, effect) {
        None => claim.ground.cites.iter().filter_map(|c| c.source.to).collect(),
        Some(support) => support.sources(catalog).into_iter().collect(),
    };
    let low: Option<Vec<&Source>> =
        carrying.iter().map(|s| Some(&catalog.sources[*s]).filter(|s| for_benefit(s) == Some(MECHANISM))).collect();
    let Some(low) = low.filter(|all| !all.is_empty()) else { return };
    let names: Vec<&str> = low.iter().map(|s| &*s.head.id.value).collect();
    let message = format!("a claim of benefit rests on {} alone, at level {MECHANISM}", shown::list(&names));
    let finding = sink.report(direction.span, "a claim of benefit", message);
    for source in &low {
        finding.also(source.design.as_ref().map_or(source.head.id.span, |d| d.span), "no study of benefit");
    }
    finding
        .note("Reasoning from mechanism is level 5 (Oxford Centre for Evidence-Based Medicine, 2011): of use for cautions, never enough for benefit.")
        .help("cite a study of the effect; without one write `direction: unclear` and say that it is not known");
}

//! A long load during which nobody is told to look or ask.

use super::{named, time};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::interval::exceeds;
use crate::model::vocabulary::Stressor;

/// The check.
pub static CHECK: Check = Check {
    name: "monitoring-gap",
    summary: "a load goes on for longer than 5 min without a look or a question",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("monitoring_gap.md"),
};

/// Longest time without a look or a question, in seconds. House figure of this tool, no source.
const LONGEST: f64 = 300.0;

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, protocol) in case.catalog.protocols.iter() {
        for (step, facts) in protocol.steps.iter().zip(&case.facts.of(idx).steps) {
            let Some(technique) = facts.technique.map(|t| &case.catalog.techniques[t]) else { continue };
            // Skin under heat or cold has looks of its own, judged more strictly.
            let thermal = technique.has(Stressor::Heat) || technique.has(Stressor::Cold);
            let Some(lasts) = facts.duration.filter(|_| facts.is_treatment() && !thermal) else { continue };
            let every = technique.monitoring_every.as_ref();
            let gap = every.map_or(lasts.hi, |e| e.value.base().hi.min(lasts.hi));
            if !gap.is_finite() || !exceeds(gap, LONGEST) {
                continue;
            }
            let message = format!("{} goes on for up to {} with up to {} between two looks", named(step), time(lasts.hi), time(gap));
            let finding = sink.report(step.action.span, format!("lasts up to {}", time(lasts.hi)), message);
            let name = &technique.name.value;
            match every {
                Some(every) => {
                    finding.also(every.span, "how often it is monitored").help(format!("set `every` of {name} to 5 min or less"))
                }
                None => finding
                    .also(technique.name.span, "says what to watch and not how often")
                    .help(format!("add `every:` to the monitoring of {name}, or shorten the step")),
            };
        }
    }
}

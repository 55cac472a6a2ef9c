//! A number of a limit that no parameter of the step is held to.

use super::{action, listed};
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::{Condition, DoseEntry, DoseValue, Technique};
use crate::model::vocabulary::Strength;
use crate::model::{Catalog, Idx};
use crate::source::Span;
use std::collections::BTreeMap;

/// The check.
pub static CHECK: Check = Check {
    name: "limit-binds-nothing",
    summary: "a number of a limit has no parameter at the step that it is to hold down",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("limit_binds_nothing.md"),
};

/// A number that holds nothing down, and the technique of the steps.
type Loose = (Idx<Condition>, Span, Idx<Technique>);

fn run(case: &Case<'_>, sink: &mut Sink) {
    let catalog = case.catalog;
    let mut loose: BTreeMap<Loose, (&DoseEntry, Vec<Span>)> = BTreeMap::new();
    for (idx, protocol) in catalog.protocols.iter() {
        let facts = case.facts.of(idx);
        let alone = facts.cautions.iter().map(|c| (c.condition, catalog.conditions[c.condition].rules.as_slice(), &c.hits));
        let together = facts.combinations.iter().map(|c| (c.condition, c.rules(catalog), &c.hits));
        for (condition, rules, hits) in alone.chain(together) {
            for hit in hits.iter().filter(|h| h.strength == Strength::Limit) {
                let Some((row, technique)) = rules.get(hit.rule).zip(facts.technique_of(hit)) else { continue };
                // What cannot be read has its finding already.
                let loose_here = row.at(&catalog.techniques[technique]).loose.into_iter();
                for entry in loose_here.filter(|e| !matches!(e.value, DoseValue::Unreadable)) {
                    loose.entry((condition, entry.span, technique)).or_insert((entry, Vec::new())).1.extend(action(protocol, hit));
                }
            }
        }
    }
    for ((condition, at, technique), (entry, steps)) in loose {
        report(catalog, (condition, technique), entry, at, &steps, sink);
    }
}

fn report(
    catalog: &Catalog,
    (condition, technique): (Idx<Condition>, Idx<Technique>),
    entry: &DoseEntry,
    at: Span,
    steps: &[Span],
    sink: &mut Sink,
) {
    let (condition, technique) = (&catalog.conditions[condition].name.value, &catalog.techniques[technique]);
    let (name, parameter) = (&technique.name.value, &entry.name.value);
    let message = format!("the limit of `{parameter}` in `{condition}` holds nothing down in `{name}`, which has no `{parameter}`");
    let finding = sink.report(at, "binds no parameter", message);
    for step in steps {
        finding.also(*step, "reaches this step");
    }
    finding.also(technique.name.span, format!("has {}", parameters(technique)));
    finding.note("It is printed for the step all the same, and everybody reads it in their own way.");
    finding.help(format!("give a number for a parameter of `{name}` too; each step is told only those that its technique has"));
}

fn parameters(technique: &Technique) -> String {
    let names: Vec<String> = technique.parameters.iter().map(|p| format!("`{}`", p.name.value)).collect();
    if names.is_empty() { "no parameters".into() } else { listed(&names) }
}

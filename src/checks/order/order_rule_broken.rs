//! Steps that stand in an order which a technique forbids.

use super::named;
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::precedence::{Act, concerns, forbids, targets_unread};
use crate::compute::thermal::readiness;
use crate::finding::Level;
use crate::model::docs::{Comes, OrderRule, Protocol, Session, Step, Towards};
use crate::model::vocabulary::Role;
use crate::model::{Catalog, Idx};

/// The check.
pub static CHECK: Check = Check {
    name: "order-rule-broken",
    summary: "steps stand in an order that a technique forbids",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("order_rule_broken.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    for (idx, _) in case.catalog.protocols.iter() {
        let acts = acts(case, idx);
        for (row, act) in acts.iter().enumerate() {
            for rule in rules(case.catalog, *act) {
                within(case.catalog, &acts, row, rule, sink);
            }
        }
    }
    for session in case.catalog.sessions.rows() {
        between(case, session, sink);
    }
}

fn acts<'a>(case: &Case<'a>, protocol: Idx<Protocol>) -> Vec<Act<'a>> {
    let steps = case.catalog.protocols[protocol].steps.iter();
    steps.zip(&case.facts.of(protocol).steps).map(|(step, facts)| Act { step, facts }).collect()
}

fn rules<'a>(catalog: &'a Catalog, act: Act<'_>) -> &'a [OrderRule] {
    act.facts.technique.map_or(&[], |t| &catalog.techniques[t].order)
}

fn within(catalog: &Catalog, acts: &[Act<'_>], row: usize, rule: &OrderRule, sink: &mut Sink) {
    let Some(act) = acts.get(row).filter(|a| !targets_unread(**a)) else { return };
    let meant = |other: &&Act<'_>| concerns(catalog, rule, *act, **other);
    let (earlier, later) = (&acts[..row], &acts[row + 1..]);
    match rule.comes {
        Comes::Before => {
            if let Some(other) = earlier.iter().rfind(meant) {
                report(catalog, *act, rule, Some(other.step), sink);
            }
        }
        Comes::After => {
            if let Some(other) = later.iter().find(meant) {
                report(catalog, *act, rule, Some(other.step), sink);
            }
        }
        Comes::OnlyAfter => {
            let unclear = earlier.iter().any(|a| a.facts.technique.is_none() || targets_unread(*a));
            // Heat or cold without any sensation test is told as that.
            let untested = || readiness::stressor(act.facts).is_some() && tests_feeling(catalog, rule) && !tested(catalog, earlier, *act);
            if !unclear && !untested() && !earlier.iter().any(|o| meant(&o)) {
                report(catalog, *act, rule, later.iter().find(meant).map(|o| o.step), sink);
            }
        }
        Comes::Apart => {}
    }
}

fn tests_feeling(catalog: &Catalog, rule: &OrderRule) -> bool {
    matches!(&rule.towards, Some(Towards::Technique(t)) if t.to.is_some_and(|t| catalog.techniques[t].role == Role::SensationTest))
}

fn tested(catalog: &Catalog, earlier: &[Act<'_>], act: Act<'_>) -> bool {
    readiness::untested(catalog, earlier.iter().map(|a| a.facts), &act.facts.places).is_empty()
}

/// What the rule is about, in words.
fn towards(catalog: &Catalog, rule: &OrderRule) -> String {
    match &rule.towards {
        Some(Towards::Technique(t)) => t.to.map_or_else(|| t.written.value.to_string(), |t| catalog.techniques[t].name.value.to_string()),
        Some(Towards::Stressor(s)) => s.word().to_string(),
        None => String::new(),
    }
}

fn report(catalog: &Catalog, act: Act<'_>, rule: &OrderRule, other: Option<&Step>, sink: &mut Sink) {
    let Some(technique) = act.facts.technique.map(|t| &catalog.techniques[t]) else { return };
    let (own, name) = (named(act.step), &technique.name.value);
    let message = match (rule.comes, other) {
        (Comes::Before, Some(o)) => format!("{own} ({name}) comes after {} and must come before any {}", named(o), towards(catalog, rule)),
        (Comes::After, Some(o)) => format!("{own} ({name}) comes before {} and must come after any {}", named(o), towards(catalog, rule)),
        _ => format!("{own} ({name}) has no {} before it", towards(catalog, rule)),
    };
    let finding = sink.report(act.step.action.span, "out of order", message);
    if let Some(other) = other {
        finding.also(other.action.span, "the other step");
    }
    finding.also(rule.span, "the rule").note(format!("Reason of the rule: {}", rule.why.value));
    match (rule.comes, other) {
        (Comes::Before, Some(o)) => finding.help(format!("move {own} before {}, or leave one of them out", named(o))),
        (Comes::After, Some(o)) => finding.help(format!("move {own} behind {}, or leave one of them out", named(o))),
        (_, Some(o)) => finding.help(format!("move {} before {own}", named(o))),
        _ => finding.help(format!("add a step with {} before {own}", towards(catalog, rule))),
    };
}

/// Rules between steps of different protocols of one appointment.
fn between(case: &Case<'_>, session: &Session, sink: &mut Sink) {
    let parts: Vec<_> = session.protocols.iter().filter_map(|r| Some((r, r.to?))).collect();
    for (k, (second, later)) in parts.iter().enumerate() {
        for (first, earlier) in &parts[..k] {
            let broken =
                acts(case, *earlier).into_iter().find_map(|a| acts(case, *later).into_iter().find_map(|b| forbids(case.catalog, a, b)));
            if let Some(broken) = broken {
                let (own, other, rule) = (broken.own, broken.other, broken.rule);
                let technique = &case.catalog.techniques[broken.technique];
                let (first_id, second_id) = (&first.written.value, &second.written.value);
                let message = format!("{second_id} after {first_id} breaks an order rule of {}", technique.name.value);
                sink.report(second.span(), "comes later", message)
                    .also(first.span(), "comes first")
                    .also(own.action.span, "the step with the rule")
                    .also(other.action.span, "the other step")
                    .also(rule.span, "the rule")
                    .note(format!("Reason of the rule: {}", rule.why.value))
                    .help(format!("put `{second_id}` before `{first_id}`, or give them in two appointments"));
            }
        }
    }
}

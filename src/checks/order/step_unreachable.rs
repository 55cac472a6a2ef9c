//! Steps to which no step leads.

use super::named;
use crate::checks::{Case, Check, Run, Sink};
use crate::finding::Level;
use crate::model::docs::{Protocol, Step};
use crate::source::Text;

/// The check.
pub static CHECK: Check = Check {
    name: "step-unreachable",
    summary: "no step leads to a step, since one before it always goes elsewhere",
    level: Level::Warning,
    run: Run::Facts(run),
    page: include_str!("step_unreachable.md"),
};

/// Where a step leads.
enum Leads {
    /// To the next step, whatever else.
    On,
    /// Always to another row.
    To(usize),
    /// Always out of the visit.
    Out,
    /// Not to be told; another check says why.
    Unclear,
}

fn run(case: &Case<'_>, sink: &mut Sink) {
    for protocol in case.catalog.protocols.rows() {
        let Some(reached) = reached(protocol) else { continue };
        let mut rows = (0..protocol.steps.len()).filter(|row| !reached.contains(row)).peekable();
        while let Some(first) = rows.next() {
            let mut last = first;
            while let Some(next) = rows.next_if(|n| *n == last + 1) {
                last = next;
            }
            report(protocol, (first, last), &reached, sink);
        }
    }
}

/// Rows that can be reached; `None` if a branch cannot be read.
fn reached(protocol: &Protocol) -> Option<Vec<usize>> {
    let mut reached: Vec<usize> = Vec::new();
    let mut open = vec![0];
    while let Some(row) = open.pop() {
        let Some(step) = protocol.steps.get(row).filter(|_| !reached.contains(&row)) else { continue };
        reached.push(row);
        match leads(protocol, step) {
            Leads::On => open.push(row + 1),
            Leads::To(other) => open.push(other),
            Leads::Out => {}
            Leads::Unclear => return None,
        }
        let rules = step.stop.iter().filter_map(|s| s.then.as_ref());
        let branch = step.then.as_ref().and_then(|b| b.go.as_ref());
        open.extend(rules.chain(branch).filter_map(|t| named_row(protocol, t)));
    }
    Some(reached)
}

/// Where a step leads when no stop rule is met. A branch with a condition can be passed by.
fn leads(protocol: &Protocol, step: &Step) -> Leads {
    let Some(branch) = &step.then else { return Leads::On };
    let always = branch.when.as_ref().is_none_or(|w| matches!(w.value.trim().to_lowercase().as_str(), "" | "always"));
    let Some(go) = branch.go.as_ref().filter(|_| always && branch.up_to.is_none()) else { return Leads::On };
    let word = go.value.trim().to_lowercase();
    match word.as_str() {
        "next" | "repeat" => Leads::On,
        "end" | "refer" | "end session" | "end visit" => Leads::Out,
        _ => named_row(protocol, go).map_or(Leads::Unclear, Leads::To),
    }
}

fn named_row(protocol: &Protocol, text: &Text) -> Option<usize> {
    let (_, after) = text.value.split_once("step ")?;
    let number: u32 = after.split(|c: char| !c.is_ascii_digit()).next()?.parse().ok()?;
    protocol.steps.iter().position(|s| s.number.value == number)
}

fn report(protocol: &Protocol, (first, last): (usize, usize), reached: &[usize], sink: &mut Sink) {
    let (Some(step), Some(end)) = (protocol.steps.get(first), protocol.steps.get(last)) else { return };
    let (which, verb) =
        if first == last { (named(step), "is") } else { (format!("steps {} to {}", step.number.value, end.number.value), "are") };
    let finding = sink.report(step.action.span, "nothing leads here", format!("{which} {verb} never reached"));
    let mut before = (0..first).rev().filter(|row| reached.contains(row)).filter_map(|row| protocol.steps.get(row));
    let away = before.find_map(|s| Some((s, s.then.as_ref()?.go.as_ref()?)));
    match away {
        Some((away, go)) => finding.also(go.span, format!("{} always goes here", named(away))).help(format!(
            "say under `if` when {} goes there, let another step lead to {}, or delete {which}",
            named(away),
            named(step)
        )),
        None => finding.help(format!("let a step lead to {}, or delete {which}", named(step))),
    };
}

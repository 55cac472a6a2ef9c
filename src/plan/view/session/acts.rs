//! The acts of an appointment as they are carried out, numbered through, with the steps that each of them is.

use super::cautions::effects;
use super::reasons;
use crate::compute::numb::At;
use crate::compute::session::{Act, Once, Visit};
use crate::model::docs::Protocol;
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc};
use crate::plan::view::altered::{Altered, Changes};
use crate::plan::view::parts::{DoseView, Link, StopView};
use crate::plan::view::protocol::steps::{self, StepView};
use crate::plan::view::told::Given;
use crate::plan::words;
use serde::Serialize;

/// An act.
#[derive(Debug, Serialize)]
pub struct ActView {
    /// The step that is carried out, with the number of the act and the stop rules of all its steps.
    pub step: StepView,
    /// Steps on the pages of their protocols.
    pub of: Vec<Link>,
    /// What is done once, and why.
    pub once: Option<&'static str>,
    /// Why the person turns before it.
    pub turn: Option<String>,
}

/// How an act is called: its number in the appointment and what is done.
pub fn named(site: &Site<'_>, visit: &Visit, row: usize) -> String {
    let Some(steps) = visit.acts.get(row).map(|a| &a.steps) else { return String::new() };
    let action = action(site, visit, steps.lead).unwrap_or_default();
    // Two protocols may have the same words for two acts.
    let of =
        if visit.parts.len() > 1 && steps.once.is_none() { format!("{}: ", short(site, visit, steps.lead.part)) } else { String::new() };
    format!("step {} ({of}{})", row + 1, action.trim_end_matches('.'))
}

fn action(site: &Site<'_>, visit: &Visit, at: At) -> Option<String> {
    let protocol = &site.catalog.protocols[*visit.parts.get(at.part)?];
    Some(protocol.steps.get(at.step)?.action.value.to_string())
}

/// How a protocol is called among those of an appointment: by its muscle, or by its title if two treat one muscle.
pub fn short(site: &Site<'_>, visit: &Visit, part: usize) -> String {
    let muscle = |p: &Idx<Protocol>| site.catalog.protocols[*p].muscle.to;
    let Some(own) = visit.parts.get(part) else { return String::new() };
    let alone = visit.parts.iter().filter(|p| muscle(p) == muscle(own)).count() == 1;
    match muscle(own).filter(|_| alone) {
        Some(m) => site.catalog.muscles[m].name.value.to_string(),
        None => site.catalog.protocols[*own].title.value.to_string(),
    }
}

/// Number of the act that a step is part of.
pub fn number(visit: &Visit, at: At) -> Option<u32> {
    let row = visit.acts.iter().position(|a| a.steps.members.contains(&at))?;
    u32::try_from(row + 1).ok()
}

/// What makes several steps one, in words.
pub fn once(once: Once) -> &'static str {
    match once {
        Once::Asked => "Every stop-sign is asked once, with the questions of all.",
        Once::Agreed => "The plan is explained and agreed once, with what each protocol does.",
        Once::Told => "What to expect and what to do is said once, with the after-care of all.",
        Once::Measured => "It is the same measure, taken in the same way at the same place.",
        Once::Tested => "One test covers the skin of all of them.",
        Once::Warmed => "The dose is the same, and one pack covers the skin of all of them.",
        Once::Looked => "It is the look at the skin under the one pack.",
    }
}

/// All acts in order.
pub fn acts(site: &Site<'_>, visit: &Visit) -> Vec<ActView> {
    let mut all: Vec<Vec<Option<StepView>>> = visit.parts.iter().map(|p| steps::steps(site, *p).into_iter().map(Some).collect()).collect();
    let altered = Altered::of_session(site, visit, &effects(site, visit, Given::Beyond));
    let mut exposure = None;
    let mut position = None;
    let mut out = Vec::new();
    for (row, act) in visit.acts.iter().enumerate() {
        let mut take = |at: At| all.get_mut(at.part).and_then(|steps| steps.get_mut(at.step)).and_then(Option::take);
        let Some(mut step) = take(act.steps.lead) else { continue };
        for other in act.steps.members.iter().filter(|m| **m != act.steps.lead).filter_map(|m| take(*m)) {
            add(&mut step, other);
        }
        step.number = u32::try_from(row + 1).unwrap_or(u32::MAX);
        step.altered = if step.treats { altered.of(step.number) } else { Changes::default() };
        step.turns = act.turns;
        step.position = act.position.map(|p| site.link(doc(Kind::Position, p)));
        step.new_position = step.position.clone().filter(|_| act.position != position);
        position = act.position;
        step.exposure = act.exposure.clone().filter(|e| exposure.as_ref() != Some(e));
        exposure = act.exposure.clone().or(exposure);
        step.takes = act.lasts.map(|d| words::amount(crate::model::unit::Dim::Time, d, d.hi));
        aim(site, visit, act, &mut step);
        renumber(site, visit, act.steps.lead, &mut step);
        let turn = visit.turns.iter().find(|t| t.at == row).map(|t| reasons::turn(site, visit, t));
        out.push(ActView { step, of: links(site, visit, act), once: act.steps.once.map(once), turn });
    }
    out
}

/// What the other steps of an act say beyond the one that is carried out.
fn add(step: &mut StepView, other: StepView) {
    let same = |a: &StopView, b: &StopView| (&a.sign, &a.at, &a.act, &a.then) == (&b.sign, &b.at, &b.act, &b.then);
    for rule in other.stop {
        if !step.stop.iter().any(|s| same(s, &rule)) {
            step.stop.push(rule);
        }
    }
    let lines = |own: &mut Vec<String>, others: Vec<String>| {
        for line in others {
            if !own.contains(&line) {
                own.push(line);
            }
        }
    };
    lines(&mut step.watch, other.watch);
    lines(&mut step.if_wrong, other.if_wrong);
    if let (Some(own), Some(other)) = (&mut step.thermal, other.thermal) {
        own.not_for.extend(other.not_for);
        own.not_for.sort_unstable();
        own.not_for.dedup();
        for why in other.beyond {
            if !own.beyond.contains(&why) {
                own.beyond.push(why);
            }
        }
    }
    step.traces.extend(other.traces);
}

/// Says of which muscle a point or a whole muscle is, and how long a talk takes that covers several protocols.
fn aim(site: &Site<'_>, visit: &Visit, act: &Act, step: &mut StepView) {
    let lead = &act.steps.lead;
    let own = visit.parts.get(lead.part).and_then(|p| site.catalog.protocols[*p].steps.get(lead.step));
    if own.is_some_and(|s| s.target.point.is_some() || s.target.muscle) {
        step.target = step.target.take().map(|t| format!("{}: {t}", short(site, visit, lead.part)));
    }
    if let ([time], Some(takes), true) = (step.dose.as_mut_slice(), &step.takes, act.steps.once.is_some()) {
        *time = DoseView { value: takes.clone(), other: None, ..time.clone() };
    }
}

fn links(site: &Site<'_>, visit: &Visit, act: &Act) -> Vec<Link> {
    let one = |m: &At| {
        let idx = *visit.parts.get(m.part)?;
        let number = site.catalog.protocols[idx].steps.get(m.step)?.number.value;
        let href = format!("{}#step-{number}", site.href(doc(Kind::Protocol, idx)));
        Some(Link { text: format!("{}, step {number}", short(site, visit, m.part)), href })
    };
    act.steps.members.iter().filter_map(one).collect()
}

/// Branches and stop rules name steps of their protocol; here they name acts.
fn renumber(site: &Site<'_>, visit: &Visit, at: At, step: &mut StepView) {
    let steps = visit.parts.get(at.part).map(|p| site.catalog.protocols[*p].steps.as_slice()).unwrap_or_default();
    let told = |text: &mut String| {
        let Some((before, after)) = text.split_once("step ") else { return };
        let rest = after.trim_start_matches(|c: char| c.is_ascii_digit());
        let own = after.strip_suffix(rest).and_then(|n| n.parse::<u32>().ok());
        let row = own.and_then(|n| steps.iter().position(|s| s.number.value == n));
        if let Some(act) = row.and_then(|row| number(visit, At { step: row, ..at })) {
            *text = format!("{before}step {act}{rest}");
        }
    };
    step.then.iter_mut().chain(&mut step.wait).for_each(told);
    step.stop.iter_mut().filter_map(|s| s.then.as_mut()).for_each(told);
}

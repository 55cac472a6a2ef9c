//! What is done with the person on the table: set-up, finding, and the steps with what is watched and what stops them.

use super::{after, ask, block, line, piece, run, signs_of};
use crate::model::Idx;
use crate::model::docs::{Muscle, Protocol, SAYS_STOP};
use crate::plan::fit::{Block, sends_through, sends_to_step};
use crate::plan::site::{Site, text, texts};
use crate::plan::view::altered::Changes;
use crate::plan::view::card::{Item, Piece, StopLine};
use crate::plan::view::chart;
use crate::plan::view::muscle;
use crate::plan::view::parts::{DoseView, Mark, StopView};
use crate::plan::view::protocol::thermal::ThermalView;
use crate::plan::view::protocol::{self, steps::StepView};
use crate::plan::words;
use std::collections::BTreeSet;

/// Bar of the whole visit on one face, behind the first.
pub(super) const ALL: &str = "The whole visit: what next, how much?";
/// Bar of side, position, room.
pub(super) const SET_UP: &str = "Which side, which position?";
/// Bar of the points.
pub(super) const WHERE: &str = "Where exactly?";
/// Bar of what lies near the muscle.
const HAZARDS: &str = "Hazards here";
/// Bar of the steps with their doses and signs.
pub(super) const NEXT: &str = "What next, how much? Watch what, stop when?";
/// Shape of what changes a step.
const CHANGED: Mark = Mark { word: "leave out or change", shape: "triangle", class: "strength-limit" };
/// How many charts stand beside each other.
const BESIDE: usize = 2;
/// Shape of a stop rule.
pub(super) const STOP: Mark = Mark { word: "stop", shape: "octagon", class: "strength-never" };
/// Shape of what is watched.
const WATCH: Mark = Mark { word: "watch", shape: "ring", class: "strength-watch" };

/// Side, time, positions, what to bring, how to say stop.
pub fn set_up(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<Block> {
    let p = &site.catalog.protocols[idx];
    let t = &site.facts.of(idx).timeline;
    let mut out = Vec::new();
    let mut add = |lead: Option<String>, lines: Vec<Vec<Piece>>| {
        if !lines.is_empty() {
            out.push(block(SET_UP, "set-up", Item { lead, lines, ..Item::default() }));
        }
    };
    let first =
        vec![piece("Side", protocol::side(p)), piece("Time", words::minutes(t.total)), piece("Changes of position", t.turns.to_string())];
    add(None, vec![first]);
    let fresh = protocol::positions(site, idx).into_iter().map(|position| {
        let supports = if position.supports.is_empty() { String::new() } else { format!(": {}", position.supports.join(", ")) };
        (position.from, format!("{}{supports}. {}", position.link.text, position.drape))
    });
    let again = protocol::turned_back(site, idx).into_iter().map(|(step, to)| (step, format!("{to} again")));
    let mut all: Vec<(u32, String)> = fresh.chain(again).collect();
    all.sort();
    for (step, said) in all {
        add(None, vec![line(&format!("From step {step}"), said)]);
    }
    let named =
        |pairs: &[(&'static str, crate::source::Text)]| pairs.iter().map(|(label, text)| piece(label, &*text.value)).collect::<Vec<_>>();
    add(None, vec![line("Bring", texts(&p.equipment).join(", "))]);
    let says_stop: Vec<_> = p.consent.iter().filter(|(label, _)| *label == SAYS_STOP).cloned().collect();
    add(None, vec![named(&says_stop)]);
    if !p.sensitive.is_empty() {
        add(Some("Sensitive region".into()), vec![named(&p.sensitive)]);
    }
    out
}

/// The points on the body, beside each other as far as there is room for them.
fn drawn(site: &Site<'_>, muscle: Idx<Muscle>) -> Vec<Block> {
    let charts = chart::of_points(site, muscle);
    let row = |charts: &[chart::OnCard]| {
        let names: Vec<&str> = charts.iter().map(|c| &*c.panel.name).collect();
        let said = "Look here first; go by the words. Other side: mirror image.";
        let lines = vec![line("", format!("{}. {said}", names.join("; ")))];
        Block { keep_next: true, ..block(WHERE, "find", Item { lines, charts: charts.to_vec(), ..Item::default() }) }
    };
    charts.chunks(BESIDE).map(row).collect()
}

/// Points and hazards; the region stands on the page.
pub fn find(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<Block> {
    let p = &site.catalog.protocols[idx];
    let mut out = Vec::new();
    out.extend(p.muscle.to.into_iter().flat_map(|m| drawn(site, m)));
    let muscle = p.muscle.to.map(|m| &site.catalog.muscles[m]);
    for point in muscle.into_iter().flat_map(|m| &m.points) {
        let view = muscle::point(site, point);
        let facts = view.facts.iter().filter(|f| f.label != muscle::REGION).map(|f| piece(&f.label, &f.text));
        let danger = run(vec![("Hazard", view.hazard), ("Stop", view.stop)]);
        let lines = [facts.collect(), danger].into_iter().filter(|l: &Vec<Piece>| !l.is_empty()).collect();
        let lead = Some(view.landmark);
        out.push(block(WHERE, "find", Item { number: Some(view.number), ring: true, lead, lines, ..Item::default() }));
    }
    let mut said = BTreeSet::new();
    for hazard in protocol::all_hazards(site, idx).into_iter().filter(|h| said.insert(h.text.clone())) {
        out.push(block(HAZARDS, "find", Item { lines: vec![line("", hazard.text)], ..Item::default() }));
    }
    if let Some(first) = out.first_mut() {
        first.one_face = true;
    }
    out
}

/// The whole visit at a glance: how it begins, every step with its dose, what goes home. What is watched and what
/// stops a step stands with the step.
pub fn whole(begin: Item, views: &[StepView], home: &[Block]) -> Vec<Block> {
    const CLASS: &str = "visit";
    let row = |item: Item| block(ALL, CLASS, Item { brief: true, ..item });
    let some = (views.iter().any(|s| changes(&s.altered)) || home.iter().any(|b| !b.item.fine.is_empty()))
        .then(|| Piece { mark: Some(CHANGED), ..piece("", "some: lower, left out or after clearance\u{a0}·") });
    let mut signs = vec![piece("", "Signs, what to watch: page of the step\u{a0}·")];
    signs.extend(some);
    signs.push(sends_through(ask::CHANGES, "all cautions: page"));
    let halt = halt(views).map(|b| row(Item { stop: b.item.stop, lines: vec![signs], ..Item::default() }));
    let mut out: Vec<Block> = halt.map(|b| Block { keep_next: true, ..b }).into_iter().collect();
    out.push(row(begin));
    for group in views.chunk_by(|a, b| !stands(a) && !stands(b)) {
        match group {
            [s] if stands(s) => {
                let dose = if loads(s) { large(s) } else { Vec::new() };
                let rules = thermal(s.thermal.as_ref()).1;
                let lines = if rules.is_empty() { Vec::new() } else { vec![rules] };
                let (first, lead, aside) = (comes_first(s), Some(action_of(s)), page_of(s));
                out.push(row(Item { number: Some(s.number), first, lead, aside, dose, lines, ..Item::default() }));
            }
            all => {
                out.push(row(Item { lines: vec![all.iter().flat_map(in_short).collect()], ..Item::default() }));
            }
        }
    }
    for b in home.iter().filter(|b| b.item.lead.is_some()) {
        let page = sends_to_step(after::HOME, b.item.steps.first().copied().unwrap_or_default());
        let aside = vec![not_for_all(!b.item.fine.is_empty(), page)];
        out.push(Block { keep_next: true, ..row(Item { lead: b.item.lead.clone(), aside, ..Item::default() }) });
        out.push(row(Item { dose: b.item.dose.clone(), ..Item::default() }));
    }
    out
}

fn changes(changes: &Changes) -> bool {
    !changes.rows.is_empty() || changes.more
}

/// A piece with the shape and the word of what is not the same for everybody.
fn not_for_all(changes: bool, page: Piece) -> Piece {
    if changes { Piece { mark: Some(CHANGED), text: format!("some: {}", page.text), ..page } } else { page }
}

/// Where a step stands at length; with the shape of what is not the same for everybody.
fn page_of(s: &StepView) -> Vec<Piece> {
    vec![not_for_all(changes(&s.altered), sends_to_step(NEXT, s.number))]
}

/// True if a step has a row of its own in the whole visit: it treats, or it tests or looks at the person.
fn stands(s: &StepView) -> bool {
    loads(s) || (!s.asks && s.measure.is_none())
}

/// What is done, with the time that it takes where nothing else says how much.
fn action_of(s: &StepView) -> String {
    if loads(s) { s.action.clone() } else { format!("{}{}", s.action.trim_end_matches('.'), takes(s)) }
}

/// How long a step takes, in brackets.
fn takes(s: &StepView) -> String {
    let dose = words::dose_line(&s.dose);
    let takes = dose.trim_start_matches("time ");
    if takes.is_empty() { String::new() } else { format!(" ({takes})") }
}

/// How a visit begins: first position and time; the side stands in the head.
pub fn begin(site: &Site<'_>, idx: Idx<Protocol>) -> Item {
    let t = &site.facts.of(idx).timeline;
    let position = protocol::positions(site, idx).into_iter().next().map(|p| p.link.text);
    let turns = match t.turns {
        0 => "no change of position".into(),
        1 => "1 change of position".into(),
        n => format!("{n} changes of position"),
    };
    let lead = std::iter::once("Begin".to_string()).chain(position).collect::<Vec<_>>().join(": ");
    Item { lead: Some(format!("{lead}. {}, {turns}", words::minutes(t.total))), ..Item::default() }
}

/// For whom something is left out or lowered: read before the first step.
pub fn tailoring(p: &Protocol) -> Option<Block> {
    let said = text(&p.tailoring)?;
    Some(block(SET_UP, "set-up", Item { lines: vec![line("Tailoring", said)], ..Item::default() }))
}

/// Steps in order, numerals first, each with its own signs; those that only ask, measure or tell in one line each run.
pub fn at_a_glance(views: &[StepView]) -> Vec<Block> {
    let mut out: Vec<Block> = halt(views).into_iter().collect();
    for run in views.chunk_by(|a, b| !loads(a) && !loads(b)) {
        match run {
            [s] if loads(s) => out.push(numerals(s)),
            all => out.push(in_a_run(all)),
        }
    }
    out
}

/// True if a step stands by itself with its dose in numerals.
fn loads(s: &StepView) -> bool {
    s.treats && s.dose.iter().any(|d| !d.minor)
}

fn numerals(s: &StepView) -> Block {
    let (fine, dose) = (s.dose.iter().filter(|d| d.minor), large(s));
    let (first, lead) = (comes_first(s), Some(s.action.clone()));
    let mut pieces = run(vec![("Bare", s.exposure.clone())]);
    pieces.extend(fine.map(|d| piece(&words::capital(&d.label), d.shown())));
    let (model, rules) = thermal(s.thermal.as_ref());
    pieces.extend(model);
    pieces.extend(s.facts.iter().map(|f| piece(&f.label, &f.text)));
    pieces.extend(s.stretch.iter().map(|x| piece("", words::capital(&x.short))));
    pieces.extend(s.joints.iter().map(|j| piece(&words::capital(&j.label), &j.text)));
    let ends = run(vec![("Good if", s.success.clone()), ("Then", s.then.clone())]);
    let place = run(vec![("Where", s.landmark.clone())]);
    let hazard = run(vec![("Hazard", s.hazard.clone())]);
    let own = changed(&s.altered);
    let mut lines: Vec<Vec<Piece>> = [rules, hazard, ends].into_iter().filter(|l| !l.is_empty()).collect();
    let fine = [own, place, pieces].into_iter().filter(|l| !l.is_empty()).collect();
    lines.extend(signs(s, ""));
    block(NEXT, "do", Item { number: Some(s.number), first, lead, dose, fine, lines, ..Item::default() })
}

/// For whom a step or home item is left out or lower, and where the rest stands.
pub(super) fn changed(changes: &Changes) -> Vec<Piece> {
    let mut out: Vec<Piece> = changes.rows.iter().map(|p| piece(&p.label, &p.text)).collect();
    if changes.more {
        if let Some(last) = out.last_mut() {
            last.text.push_str("\u{a0}·");
        }
        out.push(sends_through(ask::CHANGES, "For an affected place, or two conditions: page"));
    }
    if let Some(first) = out.first_mut() {
        first.mark = Some(CHANGED);
    }
    out
}

/// What the model says of heat or cold, and what follows from it for the reader.
pub(super) fn thermal(view: Option<&ThermalView>) -> (Option<Piece>, Vec<Piece>) {
    let Some(t) = view else { return (None, Vec::new()) };
    let beyond = (!t.not_for.is_empty()).then(|| piece("Not worked out for", t.not_for.join(", ")));
    let after = t.numb.as_ref().map(|numb| piece("Afterwards", numb));
    (Some(piece("In the model", &t.card)), beyond.into_iter().chain(after).collect())
}

/// What is said in large numerals; minutes, degrees and cm/s need no word.
fn large(s: &StepView) -> Vec<DoseView> {
    let bare = |label: &str| if matches!(label, "time" | "speed") { String::new() } else { label.trim_end_matches(" temperature").into() };
    let bare = |d: &DoseView| DoseView { label: bare(&d.label), ..d.clone() };
    s.dose.iter().filter(|d| !d.minor).map(bare).collect()
}

/// A step of a run in the whole visit: its number, its action and, if it has signs, its page; how long it takes stands with the steps.
fn in_short(s: &StepView) -> Vec<Piece> {
    let said = piece(&s.number.to_string(), format!("{}.", action(s).trim_end_matches('.')));
    let signs = !s.asks && !s.stop.is_empty();
    std::iter::once(said).chain(signs.then(|| sends_to_step(NEXT, s.number))).collect()
}

/// A step of a run: its number, its time and its action.
fn quiet(s: &StepView) -> Piece {
    piece(&s.number.to_string(), format!("{}{}.", action(s).trim_end_matches('.'), takes(s)))
}

/// What is done, after what comes before it.
fn action(s: &StepView) -> String {
    comes_first(s).map_or_else(|| s.action.clone(), |first| format!("{first} {}", s.action))
}

/// What comes before a step: its wait and the change of position.
fn comes_first(s: &StepView) -> Option<String> {
    let wait = (!s.wait.is_empty()).then(|| format!("Wait: {}.", s.wait.join("; ")));
    let said: Vec<String> = wait.into_iter().chain(turn(s)).collect();
    (!said.is_empty()).then(|| said.join(" "))
}

fn turn(s: &StepView) -> Option<String> {
    let to = s.new_position.as_ref().filter(|_| s.turns)?;
    Some(format!("Change to: {}.", to.text))
}

/// Steps that only ask, measure or tell; their signs follow.
fn in_a_run(steps: &[StepView]) -> Block {
    let mut lines = vec![steps.iter().map(quiet).collect()];
    for s in steps {
        let mut own = changed(&s.altered);
        if let Some(first) = own.first_mut() {
            let label = if first.label.is_empty() { String::new() } else { format!(", {}", first.label.to_lowercase()) };
            first.label = format!("Step {}{label}", s.number);
            lines.push(own);
        }
    }
    lines.extend(steps.iter().filter(|s| !s.asks).flat_map(|s| signs(s, &format!("Step {}, ", s.number))));
    block(NEXT, "do", Item { lines, steps: steps.iter().map(|s| s.number).collect(), ..Item::default() })
}

/// What a sign asks for that says nothing of what comes after.
const ENDS: &str = "A sign that says no more than what to do ends the step.";

/// What holds for every sign.
fn halt(views: &[StepView]) -> Option<Block> {
    let stop = Some(StopLine { mark: STOP, text: "Stop said or sign seen: act now".into() });
    views
        .iter()
        .any(|s| !s.asks && !s.stop.is_empty())
        .then(|| Block { keep_next: true, ..block(NEXT, "do", Item { stop, lines: vec![line("", ENDS)], ..Item::default() }) })
}

/// What is watched in a step, then what stops it: a line each, behind its shape.
fn signs(s: &StepView, of: &str) -> Vec<Vec<Piece>> {
    let label = |what: &str| words::capital(&format!("{of}{what}"));
    let every = s.watch_every.as_ref().map(|e| format!(" every {e}")).unwrap_or_default();
    let watched =
        (s.treats && !s.watch.is_empty()).then(|| vec![marked(WATCH, piece(&label(&format!("watch{every}")), s.watch.join(" ")), "")]);
    // The gravest first.
    let mut rules: Vec<&StopView> = s.stop.iter().collect();
    rules.sort_by_key(|r| match r.then.as_deref() {
        Some("refer") => 0,
        Some("end session") => 1,
        _ => 2,
    });
    let leave = s.leave.iter().map(|l| piece("", l.clone()));
    let stop = signs_of(rules.into_iter(), true).into_iter().chain(leave).enumerate();
    let first = label("stop");
    let stop = stop.map(|(i, p)| vec![marked(STOP, p, if i == 0 || !of.is_empty() { &first } else { "" })]);
    watched.into_iter().chain(stop).collect()
}

/// A sign behind the shape; the word before the first, in the same letters.
pub(super) fn marked(mark: Mark, sign: Piece, word: &str) -> Piece {
    let label = match (word.is_empty(), sign.label.is_empty()) {
        (true, _) => sign.label,
        (false, true) => word.into(),
        (false, false) => format!("{word}. {}", sign.label),
    };
    Piece { mark: Some(mark), label, ..sign }
}

//! What is done with the person on the table: set-up, finding, and the steps with what is watched and what stops them.

use super::{block, line, piece, run, stop_text};
use crate::model::Idx;
use crate::model::docs::{Protocol, SAYS_STOP};
use crate::plan::fit::Block;
use crate::plan::site::{Site, text, texts};
use crate::plan::view::card::{Item, Piece, StopLine};
use crate::plan::view::muscle;
use crate::plan::view::parts::{DoseView, Mark};
use crate::plan::view::protocol::{self, steps::StepView};
use crate::plan::words;
use std::collections::BTreeSet;

/// Bar of the whole visit on one face, behind the first.
pub(super) const ALL: &str = "The whole visit: what next, how much?";
/// Bar of side, position, room.
pub(super) const SET_UP: &str = "Which side, which position?";
/// Bar of points and hazards.
pub(super) const WHERE: &str = "Where exactly? Look here first";
/// Bar of the steps with their doses and signs.
pub(super) const NEXT: &str = "What next, how much? Watch what, stop when?";
/// Shape of a stop rule.
const STOP: Mark = Mark { word: "stop", shape: "octagon", class: "strength-never" };
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
    for position in protocol::positions(site, idx) {
        let supports = if position.supports.is_empty() { String::new() } else { format!(": {}", position.supports.join(", ")) };
        let label = format!("From step {}", position.from);
        add(None, vec![line(&label, format!("{}{supports}. {}", position.link.text, position.drape))]);
    }
    let back = protocol::turned_back(site, idx).into_iter().map(|(step, to)| piece(&format!("From step {step}"), format!("{to} again")));
    add(None, Some(back.collect::<Vec<_>>()).filter(|l| !l.is_empty()).into_iter().collect());
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

/// Points and hazards; the region stands on the page.
pub fn find(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<Block> {
    let p = &site.catalog.protocols[idx];
    let mut out = Vec::new();
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
        out.push(block(WHERE, "find", Item { lines: vec![line("Hazard", hazard.text)], ..Item::default() }));
    }
    out
}

/// The whole visit at a glance: how it begins, every step with its dose, what goes home. What is watched and what
/// stops a step stands with the step.
pub fn whole(begin: Vec<Piece>, views: &[StepView], home: &[Block]) -> Vec<Block> {
    const CLASS: &str = "visit";
    let row = |item: Item| block(ALL, CLASS, Item { brief: true, ..item });
    let mut out: Vec<Block> = halt(views).map(|b| Block { heading: ALL, class: CLASS, ..b }).into_iter().collect();
    let mut begin = Some(begin);
    for run in views.chunk_by(|a, b| !loads(a) && !loads(b)) {
        match run {
            [s] if loads(s) => {
                let dose = s.dose.iter().filter(|d| !d.minor).cloned().collect();
                out.push(row(Item { number: Some(s.number), lead: Some(action(s)), dose, ..Item::default() }));
            }
            all => {
                let said = begin.take().into_iter().flatten().chain(all.iter().map(quiet)).collect();
                out.push(row(Item { lines: vec![said], ..Item::default() }));
            }
        }
    }
    let taken_home = home.iter().filter(|b| b.item.lead.is_some());
    out.extend(taken_home.map(|b| row(Item { lead: b.item.lead.clone(), dose: b.item.dose.clone(), ..Item::default() })));
    out
}

/// How a visit begins: first position and time; the side stands in the head.
pub fn begin(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<Piece> {
    let t = &site.facts.of(idx).timeline;
    let position = protocol::positions(site, idx).into_iter().next().map(|p| p.link.text);
    let turns = match t.turns {
        0 => "no change of position".into(),
        1 => "1 change of position".into(),
        n => format!("{n} changes of position"),
    };
    run(vec![("Begin", position), ("Time", Some(format!("{}, {turns}", words::minutes(t.total))))])
}

/// For whom something is left out or lowered: read before the first step.
pub fn tailoring(p: &Protocol) -> Option<Block> {
    let said = text(&p.tailoring)?;
    Some(block(SET_UP, "set-up", Item { lines: vec![line("Tailoring", said)], ..Item::default() }))
}

/// Steps in order, numerals first, each with its own signs; those that only ask, measure or tell in one line each run.
pub fn at_a_glance(views: &[StepView]) -> Vec<Block> {
    let mut out: Vec<Block> = halt(views).into_iter().collect();
    let mut before: Option<&StepView> = None;
    for run in views.chunk_by(|a, b| !loads(a) && !loads(b)) {
        match run {
            [s] if loads(s) => {
                out.push(numerals(s, before));
                before = Some(s);
            }
            all => out.push(in_a_run(all)),
        }
    }
    out
}

/// True if a step stands by itself with its dose in numerals.
fn loads(s: &StepView) -> bool {
    s.treats && s.dose.iter().any(|d| !d.minor)
}

fn numerals(s: &StepView, before: Option<&StepView>) -> Block {
    let (fine, dose): (Vec<DoseView>, Vec<DoseView>) = s.dose.iter().cloned().partition(|d| d.minor);
    let lead = Some(action(s));
    let mut pieces = run(vec![("Bare", s.exposure.clone())]);
    pieces.extend(fine.iter().map(|d| piece(&words::capital(&d.label), d.shown())));
    pieces.extend(s.thermal.iter().map(|t| piece("In the model", &t.card)));
    pieces.extend(s.facts.iter().map(|f| piece(&f.label, &f.text)));
    pieces.extend(s.stretch.iter().map(|x| piece("", words::capital(&x.short))));
    pieces.extend(s.joints.iter().map(|j| piece(&words::capital(&j.label), &j.text)));
    pieces.extend(run(vec![("Good if", s.success.clone()), ("Then", s.then.clone())]));
    let wait = run(vec![("Wait", Some(s.wait.join("; ")))]);
    let mut lines: Vec<Vec<Piece>> = [wait, pieces].into_iter().filter(|l| !l.is_empty()).collect();
    match before.filter(|b| signs(b, "") == signs(s, "")).map(|b| b.number) {
        Some(same) if !signs(s, "").is_empty() => lines.push(line("Watch and stop", format!("as in step {same}"))),
        _ => lines.extend(signs(s, "")),
    }
    block(NEXT, "do", Item { number: Some(s.number), lead, dose, lines, ..Item::default() })
}

/// A step of a run: its number, its time and its action.
fn quiet(s: &StepView) -> Piece {
    let dose = words::dose_line(&s.dose);
    let takes = dose.trim_start_matches("time ");
    let takes = if takes.is_empty() { String::new() } else { format!(" ({takes})") };
    let action = s.action.trim_end_matches('.');
    let turn = turn(s).map(|t| format!("{t} ")).unwrap_or_default();
    piece(&s.number.to_string(), format!("{turn}{action}{takes}."))
}

/// What is done, after the change of position that comes before it.
fn action(s: &StepView) -> String {
    turn(s).map_or_else(|| s.action.clone(), |turn| format!("{turn} {}", s.action))
}

fn turn(s: &StepView) -> Option<String> {
    let to = s.new_position.as_ref().filter(|_| s.turns)?;
    Some(format!("Change to: {}.", to.text))
}

/// Steps that only ask, measure or tell; their signs follow.
fn in_a_run(steps: &[StepView]) -> Block {
    let mut lines = vec![steps.iter().map(quiet).collect()];
    lines.extend(steps.iter().filter(|s| !s.asks).flat_map(|s| signs(s, &format!("Step {}, ", s.number))));
    block(NEXT, "do", Item { lines, ..Item::default() })
}

/// What holds for every sign.
fn halt(views: &[StepView]) -> Option<Block> {
    let stop = Some(StopLine { mark: STOP, text: "Word stop, or a sign: act at once".into() });
    views
        .iter()
        .any(|s| !s.asks && !s.stop.is_empty())
        .then(|| Block { keep_next: true, ..block(NEXT, "do", Item { stop, ..Item::default() }) })
}

/// What is watched in a step, then what stops it: a line each, behind its shape.
fn signs(s: &StepView, of: &str) -> Vec<Vec<Piece>> {
    let marked = |mark: Mark, label: &str, text: String| vec![Piece { mark: Some(mark), ..piece(label, text) }];
    let label = |what: &str| words::capital(&format!("{of}{what}"));
    let every = s.watch_every.as_ref().map(|e| format!(" every {e}")).unwrap_or_default();
    let watched = (s.treats && !s.watch.is_empty()).then(|| marked(WATCH, &label(&format!("watch{every}")), s.watch.join(" ")));
    let first = label("stop");
    let stop = stop_text(s.stop.iter()).into_iter().chain(s.leave.clone()).enumerate();
    watched.into_iter().chain(stop.map(|(i, text)| marked(STOP, if i == 0 || !of.is_empty() { &first } else { "" }, text))).collect()
}

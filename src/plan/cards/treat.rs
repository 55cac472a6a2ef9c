//! What is done with the person on the table: set-up, finding, steps what stops them and what is watched.

use super::{block, line, piece, run, stop_text};
use crate::model::Idx;
use crate::model::docs::{NOT_FOR, Protocol, SAYS_STOP};
use crate::plan::fit::Block;
use crate::plan::site::{Site, text, texts};
use crate::plan::view::card::{Item, Piece, StopLine};
use crate::plan::view::muscle;
use crate::plan::view::parts::{DoseView, Mark, StopView};
use crate::plan::view::protocol::{self, steps::StepView};
use crate::plan::words;
use std::collections::BTreeSet;

/// Bar of side, position, room.
pub(super) const SET_UP: &str = "Which side, which position?";
/// Bar of points and hazards.
const WHERE: &str = "Where exactly? Look here first";
/// Bar of the steps with their doses.
const NEXT: &str = "What next, how long, how many, how hard?";
/// Bar of the signs.
const HALT: &str = "When do I stop?";
/// Bar of what is watched.
const WATCH: &str = "What must I watch?";

/// Side, time, who it is not for, positions, what to bring, how to say stop.
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
    let not_for = p.population.words.iter().filter(|(label, _)| *label == NOT_FOR).map(|(label, text)| piece(label, &*text.value));
    add(None, vec![first]);
    add(None, vec![not_for.collect()]);
    for position in protocol::positions(site, idx) {
        let supports = if position.supports.is_empty() { String::new() } else { format!(": {}", position.supports.join(", ")) };
        let label = format!("From step {}", position.from);
        add(None, vec![line(&label, format!("{}{supports}. {}", position.link.text, position.drape))]);
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

/// For whom something is left out or lowered: read before the first step.
pub fn tailoring(p: &Protocol) -> Option<Block> {
    let said = text(&p.tailoring)?;
    Some(block(SET_UP, "set-up", Item { lines: vec![line("Tailoring", said)], ..Item::default() }))
}

/// Steps in order, numerals first; those that only ask, measure or tell in one line each run. Then the signs
/// to stop on and what is watched, each with its steps.
pub fn at_a_glance(views: &[StepView]) -> Vec<Block> {
    let mut out: Vec<Block> = often(views).into_iter().collect();
    for run in views.chunk_by(|a, b| !loads(a) && !loads(b)) {
        match run {
            [s] if loads(s) => out.push(numerals(s)),
            all => out.push(block(NEXT, "do", Item { lines: vec![all.iter().map(quiet).collect()], ..Item::default() })),
        }
    }
    out.extend(halt(views));
    let watched = gathered(views.iter().filter(|s| s.treats && !s.watch.is_empty()).map(|s| (watch_text(s), s.number)));
    out.extend(
        watched
            .into_iter()
            .map(|(text, numbers)| block(WATCH, "watch", Item { lines: vec![line(&of_steps(&numbers), text)], ..Item::default() })),
    );
    out
}

/// True if a step stands by itself with its dose in numerals.
fn loads(s: &StepView) -> bool {
    s.treats && s.dose.iter().any(|d| !d.minor)
}

fn numerals(s: &StepView) -> Block {
    let (fine, dose): (Vec<DoseView>, Vec<DoseView>) = s.dose.iter().cloned().partition(|d| d.minor);
    let lead = Some(turn(s).map_or_else(|| s.action.clone(), |turn| format!("{turn} {}", s.action)));
    let mut pieces = run(vec![("Bare", s.exposure.clone())]);
    pieces.extend(fine.iter().map(|d| piece(&words::capital(&d.label), d.shown())));
    pieces.extend(s.thermal.iter().map(|t| piece("In the model", &t.card)));
    pieces.extend(s.facts.iter().map(|f| piece(&f.label, &f.text)));
    pieces.extend(s.stretch.iter().map(|x| piece("", words::capital(&x.short))));
    pieces.extend(s.joints.iter().map(|j| piece(&words::capital(&j.label), &j.text)));
    pieces.extend(run(vec![("Good if", s.success.clone()), ("Then", s.then.clone())]));
    let lines = if pieces.is_empty() { Vec::new() } else { vec![pieces] };
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

fn turn(s: &StepView) -> Option<String> {
    let to = s.new_position.as_ref().filter(|_| s.turns)?;
    Some(format!("Change to: {}.", to.text))
}

/// The signs that more than one treating step stops on, beside the steps; all of them have a bar of their own.
fn often(views: &[StepView]) -> Option<Block> {
    let treating = views.iter().filter(|s| s.treats);
    let signs = gathered(treating.flat_map(|s| s.stop.iter().map(|r| (r.sign.clone(), s.number))));
    let shared: Vec<String> = signs.into_iter().filter(|(_, numbers)| numbers.len() > 1).map(|(sign, _)| sign).collect();
    let lead = Some(format!("Stop at once on: {}.", shared.join(" · ")));
    (!shared.is_empty()).then(|| block(NEXT, "do", Item { lead, ..Item::default() }))
}

/// Every stop rule of every step that treats, tests or measures under the one line that holds for all; what holds in
/// the same steps stands together.
fn halt(views: &[StepView]) -> Vec<Block> {
    let mut rules: Vec<(&StopView, Vec<u32>)> = Vec::new();
    for (rule, number) in views.iter().filter(|s| !s.asks).flat_map(|s| s.stop.iter().map(|r| (r, s.number))) {
        let same = |r: &StopView| (&r.sign, &r.at, &r.act, &r.then) == (&rule.sign, &rule.at, &rule.act, &rule.then);
        match rules.iter_mut().find(|(known, _)| same(known)) {
            Some((_, numbers)) if numbers.last() == Some(&number) => {}
            Some((_, numbers)) => numbers.push(number),
            None => rules.push((rule, vec![number])),
        }
    }
    let mut sets: Vec<Vec<u32>> = rules.iter().map(|(_, numbers)| numbers.clone()).collect();
    sets.sort();
    sets.dedup();
    if sets.is_empty() {
        return Vec::new();
    }
    let mark = Mark { word: "stop", shape: "octagon", class: "strength-never" };
    let stop = Some(StopLine { mark, text: "On any sign, or the word stop: stop".into() });
    let first = Block { keep_next: true, ..block(HALT, "halt", Item { stop, ..Item::default() }) };
    let together = |numbers: &Vec<u32>| {
        let own = stop_text(rules.iter().filter(|(_, n)| n == numbers).map(|(r, _)| *r));
        let label = |(i, text): (usize, String)| line(if i == 0 { of_steps(numbers) } else { String::new() }.as_str(), text);
        block(HALT, "halt", Item { lines: own.into_iter().enumerate().map(label).collect(), ..Item::default() })
    };
    std::iter::once(first).chain(sets.iter().map(together)).collect()
}

/// Equal texts once, with the numbers of their steps.
fn gathered(all: impl Iterator<Item = (String, u32)>) -> Vec<(String, Vec<u32>)> {
    let mut out: Vec<(String, Vec<u32>)> = Vec::new();
    for (text, number) in all {
        match out.iter_mut().find(|(known, _)| *known == text) {
            Some((_, numbers)) => numbers.push(number),
            None => out.push((text, vec![number])),
        }
    }
    out.iter_mut().for_each(|(_, numbers)| numbers.dedup());
    out
}

fn of_steps(numbers: &[u32]) -> String {
    let word = if numbers.len() == 1 { "Step" } else { "Steps" };
    format!("{word} {}", words::ranges(numbers))
}

fn watch_text(s: &StepView) -> String {
    let every = s.watch_every.as_ref().map(|e| format!(" Every {e}.")).unwrap_or_default();
    format!("{}{every}", s.watch.join(" "))
}

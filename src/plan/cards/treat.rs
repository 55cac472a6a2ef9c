//! What is done with the person on the table: set-up, finding, steps.

use super::{block, line, piece, run, stop_text};
use crate::model::Idx;
use crate::model::docs::{Protocol, SAYS_STOP, Zone};
use crate::plan::fit::Block;
use crate::plan::site::{Site, places, texts};
use crate::plan::view::card::{Item, Piece};
use crate::plan::view::muscle;
use crate::plan::view::parts::DoseView;
use crate::plan::view::protocol::{self, steps::StepView};
use crate::plan::words;
use std::collections::BTreeMap;

const HEADING: &str = "Do";

/// Side, time, who it is for, positions, what to bring, how to say stop.
pub fn set_up(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<Block> {
    let p = &site.catalog.protocols[idx];
    let t = &site.facts.of(idx).timeline;
    let mut out = Vec::new();
    let mut add = |lead: Option<String>, lines: Vec<Vec<Piece>>| {
        if !lines.is_empty() {
            out.push(block("Set-up", "set-up", Item { lead, lines, ..Item::default() }));
        }
    };
    let first =
        vec![piece("Side", protocol::side(p)), piece("Time", words::minutes(t.total)), piece("Changes of position", t.turns.to_string())];
    let people = p.population.words.iter().map(|(label, text)| piece(label, &*text.value));
    add(None, vec![first, people.collect()]);
    for position in protocol::positions(site, idx) {
        let supports = Some(position.supports.join(", "));
        let lead = format!("From step {}: {}", position.from, position.link.text);
        add(Some(lead), vec![run(vec![("Supports", supports), ("Drape", Some(position.drape))])]);
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

/// Points and hazards.
pub fn find(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<Block> {
    let p = &site.catalog.protocols[idx];
    let mut out = Vec::new();
    let muscle = p.muscle.to.map(|m| &site.catalog.muscles[m]);
    for point in muscle.into_iter().flat_map(|m| &m.points) {
        let view = muscle::point(site, point);
        let lead = Some(view.landmark);
        let facts = view.facts.iter().map(|f| piece(&f.label, &f.text)).collect();
        let danger = run(vec![("Hazard", view.hazard), ("Stop", view.stop)]);
        let zone = point.zone.as_ref().map(pain).unwrap_or_default();
        let lines = [facts, danger, zone].into_iter().filter(|l: &Vec<Piece>| !l.is_empty()).collect();
        out.push(block("Find: look here first", "find", Item { number: Some(view.number), ring: true, lead, lines, ..Item::default() }));
    }
    for hazard in protocol::all_hazards(site, idx) {
        let item = Item { lines: vec![line(&words::capital(&hazard.places.join(", ")), hazard.text)], ..Item::default() };
        out.push(block("Find: look here first", "find", item));
    }
    out
}

/// Where pain may be felt; how many people show it stands on the page.
fn pain(zone: &Zone) -> Vec<Piece> {
    let spread = places(&zone.spread.all).join(", ");
    run(vec![("Pain may be felt", Some(places(&zone.core.all).join(", "))), ("and may spread to", Some(spread))])
}

/// Steps in order. What a step shares word for word with an earlier one is said once and pointed to.
pub fn steps(views: &[StepView]) -> Vec<Block> {
    let mut said: BTreeMap<String, u32> = BTreeMap::new();
    let mut once = |number: u32, text: String| {
        if text.is_empty() {
            return None;
        }
        if let Some(first) = said.get(&text) {
            Some(format!("as in step {first}"))
        } else {
            said.insert(text.clone(), number);
            Some(text)
        }
    };
    let mut out = Vec::new();
    let rule = line("", "Each sign ends the step. Where it says so it ends the session, or the person is sent on.");
    out.push(Block { keep_next: true, ..block(HEADING, "do", Item { lines: vec![rule], ..Item::default() }) });
    for s in views {
        if s.asks {
            out.push(quiet(s));
            continue;
        }
        let watch = if s.treats { watch_text(s) } else { String::new() };
        let watch = once(s.number, watch);
        let stop = once(s.number, stop_text(&s.stop));
        out.push(step(s, watch, stop));
    }
    out
}

fn watch_text(s: &StepView) -> String {
    let every = s.watch_every.as_ref().map(|e| format!(" Every {e}.")).unwrap_or_default();
    format!("{}{every}", s.watch.join(" "))
}

/// A step that only asks or tells: its time and its action.
fn quiet(s: &StepView) -> Block {
    let dose = words::dose_line(&s.dose);
    let takes = dose.trim_start_matches("time ");
    let lead = if takes.is_empty() { s.action.clone() } else { format!("{takes} · {}", s.action) };
    let setting = run(place(s));
    let lines = if setting.is_empty() { Vec::new() } else { vec![setting] };
    block(HEADING, "do", Item { number: Some(s.number), lead: Some(lead), lines, ..Item::default() })
}

fn place(s: &StepView) -> Vec<(&'static str, Option<String>)> {
    let turn = if s.turns { "change to: " } else { "" };
    let position = s.new_position.as_ref().map(|p| format!("{turn}{}", p.text));
    vec![("Position", position), ("Bare", s.exposure.clone())]
}

fn step(s: &StepView, watch: Option<String>, stop: Option<String>) -> Block {
    let what = [s.technique.as_ref().map(|t| t.text.clone()), s.target.clone(), s.measure.as_ref().map(|m| m.text.clone())];
    let what = what.into_iter().flatten().collect::<Vec<_>>().join(" · ");
    let mut setting = run(vec![("", Some(what))].into_iter().chain(place(s)).collect());
    let (fine, dose): (Vec<DoseView>, Vec<DoseView>) = s.dose.iter().cloned().partition(|d| d.minor);
    setting.extend(fine.iter().map(|d| piece(&words::capital(&d.label), d.shown())));
    setting.extend(s.thermal.iter().map(|t| piece("In the model", &t.card)));
    setting.extend(s.facts.iter().map(|f| piece(&f.label, &f.text)));
    setting.extend(s.stretch.iter().map(|x| piece("", words::capital(&x.short))));
    setting.extend(s.joints.iter().map(|j| piece(&words::capital(&j.label), &j.text)));
    let lines = vec![
        setting,
        run(vec![("Watch", watch)]),
        run(vec![("Stop", stop)]),
        run(vec![("Good if", s.success.clone()), ("Then", s.then.clone())]),
    ];
    let lines = lines.into_iter().filter(|l| !l.is_empty()).collect();
    let item = Item { number: Some(s.number), lead: Some(s.action.clone()), dose, lines, ..Item::default() };
    block(HEADING, "do", item)
}

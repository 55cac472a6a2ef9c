//! The mark sheet of a practical examination, made from the stop-signs, steps and stop rules of a protocol.
//!
//! It is a form for print: nothing is typed into it on a screen and no name stands on it. Doses are those of the page.

use crate::compute::currency::code::Code;
use crate::model::docs::Protocol;
use crate::model::vocabulary::{Role, Strength};
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc, texts};
use crate::plan::view::parts::{CautionView, DoseView, FlagView, Frame, Link, Pair, StopView};
use crate::plan::view::protocol::steps::{self, HomeView, StepView};
use crate::plan::view::protocol::{self, stop};
use crate::plan::words;
use serde::Serialize;

/// The rule by which a sheet is marked, and what it rests on.
pub const RULE: &str = "A row marked “must” that is not done means: not passed. That is common practice and has no source; \
     the rule of the school or house decides, here as in how many other rows may be missed.";

/// View of `mark_sheet.html`.
#[derive(Debug, Serialize)]
pub struct MarkSheet {
    /// Frame.
    pub frame: Frame,
    /// The protocol.
    pub protocol: Link,
    /// Muscle and side.
    pub subject: String,
    /// Check code of what it was made from.
    pub code: String,
    /// The rule.
    pub rule: &'static str,
    /// Parts in order.
    pub parts: Vec<Part>,
    /// How many rows are a must.
    pub musts: usize,
}

/// A part of the sheet.
#[derive(Debug, Serialize)]
pub struct Part {
    /// Anchor.
    pub id: &'static str,
    /// Heading.
    pub heading: &'static str,
    /// Rows.
    pub rows: Vec<Row>,
}

/// A row.
#[derive(Debug, Default, Serialize)]
pub struct Row {
    /// Number of the step, or what the row is about.
    pub number: String,
    /// True if the sheet is not passed without it.
    pub must: bool,
    /// What is done or asked.
    pub what: String,
    /// The dose to be named or kept within.
    pub dose: Vec<DoseView>,
    /// Position, drape, place.
    pub place: Vec<Pair>,
    /// What the examiner looks for.
    pub looks: Vec<Pair>,
}

/// The sheet of a protocol.
pub fn sheet(site: &Site<'_>, idx: Idx<Protocol>) -> MarkSheet {
    let p = &site.catalog.protocols[idx];
    let own = doc(Kind::Protocol, idx);
    let mut frame = super::under_course(site, site.doc_frame(own));
    frame.title = format!("Mark sheet: {}", frame.title);
    let steps = steps::steps(site, idx);
    let parts = vec![
        Part { id: "stop-signs", heading: "Asks every stop-sign question", rows: stop::flags(site, idx).into_iter().map(flag).collect() },
        Part {
            id: "cautions",
            heading: "Asks every caution, and acts on it",
            rows: stop::cautions(site, idx).into_iter().map(caution).collect(),
        },
        Part { id: "steps", heading: "Does each step", rows: steps.iter().zip(&p.steps).map(|(view, s)| step(site, view, s)).collect() },
        Part { id: "stop-rules", heading: "Names each stop rule, and acts on it", rows: stop_rules(&steps) },
        Part { id: "after", heading: "Ends the visit", rows: after(site, idx, p) },
    ];
    let parts: Vec<Part> = parts.into_iter().filter(|part| !part.rows.is_empty()).collect();
    let muscle = p.muscle.to.map(|m| site.catalog.muscles[m].name.value.to_string()).unwrap_or_default();
    MarkSheet {
        protocol: site.link(own),
        subject: format!("{muscle} · {}", protocol::side(p)),
        code: site.facts.currency.of(site.catalog, own).map(|s| Code::of(s.digest).to_string()).unwrap_or_default(),
        rule: RULE,
        musts: parts.iter().flat_map(|part| &part.rows).filter(|r| r.must).count(),
        parts,
        frame,
    }
}

fn pair(label: &str, text: impl Into<String>) -> Pair {
    Pair { label: label.into(), text: text.into() }
}

fn flag(f: FlagView) -> Row {
    let mut looks = vec![pair("If yes", format!("stops, does not treat; {}: {}", f.clock, f.destination)), pair("Meanwhile", f.meanwhile)];
    looks.extend(f.say.map(|say| pair("Says", say)));
    Row { number: f.link.text, must: true, what: f.question, looks, ..Row::default() }
}

fn caution(c: CautionView) -> Row {
    let bars = |word: &str| Strength::from_word(word).is_some_and(Strength::blocks);
    let one = |r: &crate::plan::view::parts::CautionRow| {
        let numbers = if r.numbers.is_empty() { String::new() } else { format!(", {}", r.numbers) };
        let places = if r.places.is_empty() { String::new() } else { format!(" ({})", r.places.join(", ")) };
        let instead = r.instead.as_ref().map(|t| format!("; instead: {}", t.text)).unwrap_or_default();
        pair(&words::capital(r.stressor), format!("{}{numbers}{places}, {}{instead}", r.strength, r.steps))
    };
    let joint = || c.together.iter().flat_map(|t| &t.rows);
    let must = c.excluded || c.rows.iter().chain(joint()).any(|r| bars(r.strength));
    let mut looks: Vec<Pair> =
        if c.excluded { vec![pair("If yes", stop::OUTSIDE.word.trim_start_matches("if yes, "))] } else { c.rows.iter().map(one).collect() };
    for t in &c.together {
        let rows: Vec<String> = t.rows.iter().map(one).map(|p| format!("{}: {}", p.label, p.text)).collect();
        looks.push(pair(&words::together_with(&t.with), rows.join("; ")));
    }
    Row { number: c.link.text, must, what: c.question, looks, ..Row::default() }
}

fn step(site: &Site<'_>, view: &StepView, s: &crate::model::docs::Step) -> Row {
    let role = s.technique.to.map(|t| site.catalog.techniques[t].role);
    let turn = if view.turns { "change to " } else { "" };
    let place = [
        ("Position", view.new_position.as_ref().map(|p| format!("{turn}{}", p.text))),
        ("Bare and covered", view.exposure.clone()),
        ("Where", view.target.clone()),
    ];
    let every = view.watch_every.as_ref().map(|e| format!(" Every {e}.")).unwrap_or_default();
    let watch = view.treats.then(|| view.watch.join(" ") + &every).filter(|w| !w.trim().is_empty());
    let looks = [("Good if", view.success.clone()), ("Watches", watch), ("Then", view.then.clone())];
    let named = |(label, text): (&str, Option<String>)| text.map(|t| pair(label, t));
    let mut looks: Vec<Pair> = looks.into_iter().filter_map(named).collect();
    looks.extend(view.facts.iter().cloned());
    looks.extend(view.joints.iter().map(|j| pair(&words::capital(&j.label), j.text.clone())));
    Row {
        number: view.number.to_string(),
        must: matches!(role, Some(Role::Screening | Role::Consent | Role::SensationTest)),
        what: view.action.clone(),
        dose: view.dose.clone(),
        place: place.into_iter().filter_map(named).collect(),
        looks,
    }
}

/// One row for each set of stop rules, with all steps that have it.
fn stop_rules(steps: &[StepView]) -> Vec<Row> {
    let mut sets: Vec<(Vec<Pair>, Vec<String>)> = Vec::new();
    for s in steps.iter().filter(|s| !s.stop.is_empty()) {
        let rules: Vec<Pair> = s.stop.iter().map(rule).collect();
        let same = |set: &&mut (Vec<Pair>, Vec<String>)| {
            set.0.len() == rules.len() && set.0.iter().zip(&rules).all(|(a, b)| a.label == b.label && a.text == b.text)
        };
        match sets.iter_mut().find(same) {
            Some((_, numbers)) => numbers.push(s.number.to_string()),
            None => sets.push((rules, vec![s.number.to_string()])),
        }
    }
    let row = |(looks, numbers): (Vec<Pair>, Vec<String>)| Row {
        what: words::capital(&words::numbered("step", "steps", &numbers)),
        number: "Stop".into(),
        must: true,
        looks,
        ..Row::default()
    };
    sets.into_iter().map(row).collect()
}

fn rule(r: &StopView) -> Pair {
    let at = r.at.as_ref().map(|a| format!(" ({a})")).unwrap_or_default();
    let act = [r.act.clone(), r.then.clone()].into_iter().flatten().collect::<Vec<_>>().join(", ");
    pair(&words::capital(&format!("{}{at}", r.sign)), if act.is_empty() { "ends the step".into() } else { act })
}

fn after(site: &Site<'_>, idx: Idx<Protocol>, p: &Protocol) -> Vec<Row> {
    let list = |number: &str, what: &str, items: Vec<String>| {
        let looks = items.into_iter().map(|t| pair("", t)).collect();
        Row { number: number.into(), what: what.into(), looks, ..Row::default() }
    };
    let home = |(i, h): (usize, HomeView)| {
        let often = h.often.iter().map(|o| pair(&words::capital(&o.label), o.text.clone()));
        let stop = h.stop.iter().map(rule).map(|r| pair("Stop on", format!("{}: {}", r.label, r.text)));
        let looks = std::iter::once(pair("Shows", h.action)).chain(often).chain(stop).collect();
        Row { number: format!("Home {}", i + 1), what: h.name, dose: h.dose, looks, ..Row::default() }
    };
    let mut rows = vec![list("After-care", "Tells the person", texts(&p.aftercare))];
    rows.extend(steps::home(site, idx).into_iter().enumerate().map(home));
    rows.push(list("Record", "Writes down", texts(&p.record)));
    rows.retain(|r| !r.looks.is_empty());
    rows
}

//! What stands on a card, in the order of use: stop, set-up, find, do; then the back.
//!
//! A card says nothing that the page does not say. Every red-flag question, every caution question
//! and every dose is on it.

use super::fit::{Block, deal};
use super::site::{Site, doc, text, texts};
use super::view::card::{Cards, Face, Item, Piece, StopLine};
use super::view::condition::numbers;
use super::view::muscle;
use super::view::parts::{CautionView, FlagView, Link, StopView};
use super::view::protocol::{self, steps, stop};
use super::{route, words};
use crate::compute::cautions::Caution;
use crate::model::docs::Protocol;
use crate::model::vocabulary::Strength;
use crate::model::{Idx, Kind};
use std::collections::BTreeMap;

/// The card of one protocol.
pub fn one(site: &Site<'_>, idx: Idx<Protocol>) -> Cards {
    let own = doc(Kind::Protocol, idx);
    let mut frame = site.doc_frame(own);
    frame.title = format!("Card: {}", frame.title);
    let all = Link { text: "All cards".into(), href: site.to(route::ALL_CARDS) };
    let page = Link { text: "Page of the protocol".into(), href: site.href(own) };
    Cards { frame, links: vec![page, all], faces: faces(site, idx) }
}

/// The sheet of all cards.
pub fn all(site: &Site<'_>) -> Cards {
    let mut links = Vec::new();
    let mut faces_of_all = Vec::new();
    for (idx, p) in site.catalog.protocols.iter() {
        links.push(Link { text: p.title.value.to_string(), href: site.to(&route::card(&p.head.id.value)) });
        faces_of_all.extend(faces(site, idx));
    }
    Cards { frame: site.frame("Cards"), links, faces: faces_of_all }
}

/// Faces of a protocol.
pub fn faces(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<Face> {
    let mut blocks = flag_blocks(&stop::flags(site, idx));
    blocks.extend(caution_blocks(site, idx));
    blocks.extend(set_up(site, idx));
    blocks.extend(find(site, idx));
    blocks.extend(do_blocks(&steps::steps(site, idx)));
    blocks.extend(back(site, idx));
    deal(blocks, &blank(site, idx))
}

fn blank(site: &Site<'_>, idx: Idx<Protocol>) -> Face {
    let p = &site.catalog.protocols[idx];
    let pack = &site.catalog.packs[p.head.pack];
    let muscle = p.muscle.to.map(|m| site.catalog.muscles[m].name.value.to_string()).unwrap_or_default();
    Face {
        id: format!("card-{}", p.head.id.value),
        title: p.title.value.to_string(),
        subject: format!("{muscle} · {}", protocol::side(p)),
        edition: format!("{}, edition {}", pack.title.value, pack.edition.value),
        state: words::state(p.head.status.as_ref().map(|s| &*s.value)),
        review_by: site.review_by(doc(Kind::Protocol, idx)).map_or_else(|| "Review day not set".into(), |d| format!("Review by {d}")),
        page: 0,
        pages: 0,
        side: "front",
        notice: pack.notice.value.to_string(),
        demonstration: text(&pack.demonstration),
        use_note: words::USE_NOTE,
        sections: Vec::new(),
        overfull: false,
    }
}

fn block(heading: &'static str, class: &'static str, item: Item) -> Block {
    Block { heading, class, keep_next: false, back: false, item }
}

fn piece(label: &str, text: impl Into<String>) -> Piece {
    Piece { label: label.to_string(), text: text.into() }
}

fn line(label: &str, text: impl Into<String>) -> Vec<Piece> {
    vec![piece(label, text)]
}

/// Labelled pieces that have a text.
fn run(pieces: Vec<(&str, Option<String>)>) -> Vec<Piece> {
    pieces.into_iter().filter_map(|(label, text)| text.filter(|t| !t.is_empty()).map(|t| piece(label, t))).collect()
}

/// Flags under one stop line for each urgency and destination.
fn flag_blocks(flags: &[FlagView]) -> Vec<Block> {
    const HEADING: &str = "Stop: if yes, do not treat today";
    let mut out = Vec::new();
    let mut last = None;
    for flag in flags {
        let group = (flag.urgency.word, flag.destination.clone());
        if last.as_ref() != Some(&group) {
            let text = format!("{}: {}", words::capital(flag.urgency.word), flag.destination);
            let how = flag.how.clone().unwrap_or_default();
            let lines = vec![line(&words::capital(flag.clock), how)];
            let item = Item { stop: Some(StopLine { mark: flag.urgency, text }), lines, ..Item::default() };
            out.push(Block { keep_next: true, ..block(HEADING, "stop", item) });
            last = Some(group);
        }
        let lines = vec![vec![piece(&flag.link.text, &flag.question), piece("Meanwhile", &flag.meanwhile)]];
        out.push(block(HEADING, "stop", Item { flag: Some(flag.id.clone()), lines, ..Item::default() }));
    }
    out
}

/// Cautions: first those that put a person outside the protocol, then by strength.
fn caution_blocks(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<Block> {
    const HEADING: &str = "Cautions: ask each";
    let facts = &site.facts.of(idx).cautions;
    let views = stop::cautions(site, idx);
    let mut pairs: Vec<(&Caution, CautionView)> = facts.iter().zip(views).collect();
    pairs.sort_by_key(|(_, v)| !v.excluded);
    let mut out = Vec::new();
    let mut last = "";
    for (caution, view) in pairs {
        let mark = if view.excluded { stop::OUTSIDE } else { view.strength };
        if last != mark.word {
            let item = Item { stop: Some(StopLine { mark, text: words::capital(mark.word) }), ..Item::default() };
            out.push(Block { keep_next: true, ..block(HEADING, "cautions", item) });
            last = mark.word;
        }
        let mut pieces = vec![piece(&view.link.text, &view.question)];
        if !view.excluded {
            pieces.extend(effects(site, idx, caution));
        }
        out.push(block(HEADING, "cautions", Item { condition: Some(view.id), lines: vec![pieces], ..Item::default() }));
    }
    out
}

/// Numbers of steps and home items.
#[derive(Default)]
struct Numbers {
    steps: Vec<u32>,
    home: Vec<u32>,
}

impl Numbers {
    fn shown(mut self) -> String {
        let list = |numbers: &mut Vec<u32>, word: &str| {
            numbers.sort_unstable();
            if numbers.is_empty() { String::new() } else { format!(" {word}{}", words::ranges(numbers)) }
        };
        list(&mut self.steps, "") + &list(&mut self.home, "home ")
    }
}

/// What a caution does, by strength and numbers: loads and step numbers.
fn effects(site: &Site<'_>, idx: Idx<Protocol>, caution: &Caution) -> Vec<Piece> {
    let p = &site.catalog.protocols[idx];
    let condition = &site.catalog.conditions[caution.condition];
    let mut groups: BTreeMap<(Strength, String), BTreeMap<&'static str, Numbers>> = BTreeMap::new();
    for hit in &caution.hits {
        let numbers = condition.rules.get(hit.rule).map(numbers).unwrap_or_default();
        let touched = groups.entry((hit.strength, numbers)).or_default().entry(hit.stressor.word()).or_default();
        if hit.home {
            touched.home.push(u32::try_from(hit.step + 1).unwrap_or(u32::MAX));
        } else {
            touched.steps.extend(p.steps.get(hit.step).map(|s| s.number.value));
        }
    }
    let load = |(stressor, touched): (&'static str, Numbers)| format!("{stressor}{}", touched.shown());
    groups
        .into_iter()
        .map(|((strength, numbers), loads)| {
            let label = if numbers.is_empty() { strength.word().to_string() } else { format!("{} ({numbers})", strength.word()) };
            piece(&words::capital(&label), loads.into_iter().map(load).collect::<Vec<_>>().join("; "))
        })
        .collect()
}

fn set_up(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<Block> {
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
        add(Some(lead), vec![run(vec![("", Some(position.how)), ("Supports", supports), ("Drape", Some(position.drape))])]);
    }
    let named =
        |pairs: &[(&'static str, crate::source::Text)]| pairs.iter().map(|(label, text)| piece(label, &*text.value)).collect::<Vec<_>>();
    add(None, vec![line("Bring", texts(&p.equipment).join(", "))]);
    add(Some("Consent: say".into()), vec![named(&p.consent)]);
    if !p.sensitive.is_empty() {
        add(Some("Sensitive region".into()), vec![named(&p.sensitive)]);
    }
    out
}

fn find(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<Block> {
    let p = &site.catalog.protocols[idx];
    let mut out = Vec::new();
    let muscle = p.muscle.to.map(|m| &site.catalog.muscles[m]);
    for point in muscle.into_iter().flat_map(|m| &m.points) {
        let view = muscle::point(site, point);
        let lead = Some(format!("Look here first: {}", view.landmark));
        let facts = view.facts.iter().map(|f| piece(&f.label, &f.text)).collect();
        let danger = run(vec![("Hazard", view.hazard), ("Stop", view.stop)]);
        let zone = run(vec![("", view.zone.map(|z| z.text))]);
        let lines = [facts, danger, zone].into_iter().filter(|l: &Vec<Piece>| !l.is_empty()).collect();
        out.push(block("Find", "find", Item { number: Some(view.number), ring: true, lead, lines, ..Item::default() }));
    }
    for hazard in protocol::all_hazards(site, idx) {
        let item = Item { lines: vec![line(&words::capital(&hazard.places.join(", ")), hazard.text)], ..Item::default() };
        out.push(block("Find", "find", item));
    }
    out
}

fn stop_text(rules: &[StopView]) -> String {
    let one = |r: &StopView| {
        let at = r.at.as_ref().map(|a| format!(" ({a})")).unwrap_or_default();
        let act = r.act.as_ref().map(|a| format!(": {a}")).unwrap_or_default();
        let then = r.then.as_ref().map(|t| format!(", {t}")).unwrap_or_default();
        format!("{}{at}{act}{then}", r.sign)
    };
    rules.iter().map(one).collect::<Vec<_>>().join(" · ")
}

/// Steps in order. What a step shares word for word with an earlier one is said once and pointed to.
fn do_blocks(views: &[steps::StepView]) -> Vec<Block> {
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
    for s in views {
        let watch = if s.treats { watch_text(s) } else { String::new() };
        let watch = once(s.number, watch);
        let stop = once(s.number, stop_text(&s.stop));
        out.push(step(s, watch, stop));
    }
    out
}

fn watch_text(s: &steps::StepView) -> String {
    let every = s.watch_every.as_ref().map(|e| format!(" Every {e}.")).unwrap_or_default();
    format!("{}{every}", s.watch.join(" "))
}

fn step(s: &steps::StepView, watch: Option<String>, stop: Option<String>) -> Block {
    let what = [s.technique.as_ref().map(|t| t.text.clone()), s.target.clone(), s.measure.as_ref().map(|m| m.text.clone())];
    let what = what.into_iter().flatten().collect::<Vec<_>>().join(" · ");
    let turn = if s.turns { "change to: " } else { "" };
    let position = s.new_position.as_ref().map(|p| format!("{turn}{}", p.text));
    let mut setting = run(vec![("", Some(what)), ("Position", position), ("Bare", s.exposure.clone())]);
    setting.extend(s.facts.iter().map(|f| piece(&f.label, &f.text)));
    setting.extend(s.joints.iter().map(|j| piece(&words::capital(&j.label), &j.text)));
    let lines = vec![
        setting,
        run(vec![("Watch", watch)]),
        run(vec![("Stop", stop)]),
        run(vec![("Good if", s.success.clone()), ("Then", s.then.clone())]),
    ];
    let lines = lines.into_iter().filter(|l| !l.is_empty()).collect();
    let item = Item { number: Some(s.number), lead: Some(s.action.clone()), dose: s.dose.clone(), lines, ..Item::default() };
    block("Do", "do", item)
}

fn back(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<Block> {
    let p = &site.catalog.protocols[idx];
    let mut out = Vec::new();
    let mut add =
        |heading, lines: Vec<Vec<Piece>>| out.push(Block { back: true, ..block(heading, "back", Item { lines, ..Item::default() }) });
    let retests = p.steps.iter().filter(|s| s.when.as_ref().is_some_and(|w| &*w.value == "re-test"));
    for s in retests {
        let measure = s.measure.as_ref().and_then(|m| site.follow(Kind::Measure, m)).map(|l| l.text).unwrap_or_default();
        add("Re-test", vec![line(&format!("Step {}", s.number.value), format!("{} {measure}.", s.action.value))]);
    }
    add("Re-test", vec![line("Write", texts(&p.record).join(" "))]);
    add("After-care", texts(&p.aftercare).into_iter().map(|t| line("", t)).collect());
    let change = text(&p.change_plan).map(|c| line("Change the plan", c));
    let decide = text(&p.spacing.decide).map(|d| line("Decide", d));
    add("After-care", change.into_iter().chain(decide).collect());
    out.extend(steps::home(site, idx).into_iter().enumerate().map(|(i, h)| home(i, h)));
    let mut add =
        |heading, lines: Vec<Vec<Piece>>| out.push(Block { back: true, ..block(heading, "back", Item { lines, ..Item::default() }) });
    for claim in protocol::evidence_line(p) {
        add("Evidence", vec![line("", claim)]);
    }
    add("Sources", vec![line("", protocol::short_sources(site, p).join(" · "))]);
    let house = "Doses without a source are house or common practice; the page of the protocol says which. Withdraw this card when the edition changes.";
    let tailoring = text(&p.tailoring).map(|t| line("Tailoring", t));
    add("House notes", [Some(line("", house)), tailoring].into_iter().flatten().collect());
    out.retain(|b| b.item.lines.iter().flatten().any(|p| !p.text.is_empty()));
    out
}

fn home(i: usize, h: steps::HomeView) -> Block {
    let mut often = vec![piece("", h.action)];
    often.extend(h.often.iter().map(|o| piece(&words::capital(&o.label), &o.text)));
    let stop = run(vec![("Stop", Some(stop_text(&h.stop))), ("First check", h.first_check)]);
    let lead = Some(format!("At home {}: {}", i + 1, h.name));
    Block { back: true, ..block("After-care", "back", Item { lead, dose: h.dose, lines: vec![often, stop], ..Item::default() }) }
}

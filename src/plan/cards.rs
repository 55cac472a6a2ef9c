//! What stands on a card, in the order of use: stop, set-up, find, do; then the back.
//!
//! A card says nothing that the page does not say. Every red-flag question, every caution question
//! and every dose is on it.

use super::fit::{Block, deal};
use super::site::{Site, doc, text, texts};
use super::view::card::{Cards, Face, Item, Line, StopLine};
use super::view::muscle;
use super::view::parts::{CautionView, FlagView, Link, StopView};
use super::view::protocol::{self, steps, stop};
use super::{route, words};
use crate::model::docs::Protocol;
use crate::model::{Idx, Kind};

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
    blocks.extend(caution_blocks(&stop::cautions(site, idx)));
    blocks.extend(set_up(site, idx));
    blocks.extend(find(site, idx));
    blocks.extend(steps::steps(site, idx).iter().map(step));
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

fn line(label: &str, text: impl Into<String>) -> Line {
    Line { label: label.to_string(), text: text.into() }
}

/// Flags under one stop line for each urgency and destination.
fn flag_blocks(flags: &[FlagView]) -> Vec<Block> {
    let mut out = Vec::new();
    let mut last = None;
    for flag in flags {
        let group = (flag.urgency.word, flag.destination.clone());
        if last.as_ref() != Some(&group) {
            let text = format!("{} ({}): {}", words::capital(flag.urgency.word), flag.clock, flag.destination);
            let lines = flag.how.iter().map(|how| line("", how)).collect();
            let item = Item { stop: Some(StopLine { mark: flag.urgency, text }), lines, ..Item::default() };
            out.push(Block { keep_next: true, ..block("Stop if yes", "stop", item) });
            last = Some(group);
        }
        let mut lines = vec![line("", &flag.question)];
        lines.push(line("Meanwhile", &flag.meanwhile));
        let item = Item { flag: Some(flag.id.clone()), lead: Some(flag.link.text.clone()), lines, ..Item::default() };
        out.push(block("Stop if yes", "stop", item));
    }
    out
}

/// Cautions under one line for each strength.
fn caution_blocks(cautions: &[CautionView]) -> Vec<Block> {
    let mut out = Vec::new();
    let mut last = "";
    for caution in cautions {
        if last != caution.strength.word {
            let mark = caution.strength;
            let item = Item { stop: Some(StopLine { mark, text: words::capital(mark.word) }), ..Item::default() };
            out.push(Block { keep_next: true, ..block("Cautions: ask each", "cautions", item) });
            last = mark.word;
        }
        let rows = caution.rows.iter().map(|r| {
            let numbers = if r.numbers.is_empty() { String::new() } else { format!(", {}", r.numbers) };
            let places = if r.places.is_empty() { String::new() } else { format!(" ({})", r.places.join(", ")) };
            line(&words::capital(r.stressor), format!("{}{numbers}{places}: {}", r.strength, r.steps))
        });
        let outside = caution.excluded.then(|| line("", "This protocol is not for people with it."));
        let lines = std::iter::once(line("", &caution.question)).chain(outside).chain(rows).collect();
        let item = Item { condition: Some(caution.id.clone()), lead: Some(caution.link.text.clone()), lines, ..Item::default() };
        out.push(block("Cautions: ask each", "cautions", item));
    }
    out
}

fn set_up(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<Block> {
    let p = &site.catalog.protocols[idx];
    let t = &site.facts.of(idx).timeline;
    let mut out = Vec::new();
    let mut add = |lead: Option<String>, lines: Vec<Line>| {
        if !lines.is_empty() {
            out.push(block("Set-up", "set-up", Item { lead, lines, ..Item::default() }));
        }
    };
    let mut first =
        vec![line("Side", protocol::side(p)), line("Time", words::minutes(t.total)), line("Turns of the person", t.turns.to_string())];
    first.extend(p.population.words.iter().map(|(label, text)| line(label, &*text.value)));
    add(None, first);
    for position in protocol::positions(site, idx) {
        let mut lines = vec![line("", position.how)];
        if !position.supports.is_empty() {
            lines.push(line("Supports", position.supports.join(", ")));
        }
        lines.push(line("Drape", position.drape));
        add(Some(format!("From step {}: {}", position.from, position.link.text)), lines);
    }
    add(Some("Bring".into()), vec![line("", texts(&p.equipment).join(", "))]);
    add(Some("Consent: say".into()), p.consent.iter().map(|(label, text)| line(label, &*text.value)).collect());
    add(Some("Sensitive region".into()), p.sensitive.iter().map(|(label, text)| line(label, &*text.value)).collect());
    out
}

fn find(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<Block> {
    let p = &site.catalog.protocols[idx];
    let mut out = Vec::new();
    let muscle = p.muscle.to.map(|m| &site.catalog.muscles[m]);
    for point in muscle.into_iter().flat_map(|m| &m.points) {
        let view = muscle::point(site, point);
        let mut lines: Vec<Line> = view.facts.iter().map(|f| line(&f.label, &f.text)).collect();
        lines.extend(view.zone.as_ref().map(|z| line("", &z.text)));
        lines.extend(view.hazard.as_ref().map(|h| line("Hazard", h)));
        lines.extend(view.stop.as_ref().map(|s| line("Stop", s)));
        let lead = Some(format!("Look here first: {}", view.landmark));
        out.push(block("Find", "find", Item { number: Some(view.number), ring: true, lead, lines, ..Item::default() }));
    }
    for hazard in protocol::all_hazards(site, idx) {
        let item = Item { lines: vec![line(&hazard.places.join(", "), hazard.text)], ..Item::default() };
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

fn step(s: &steps::StepView) -> Block {
    let mut lines = Vec::new();
    let what = [s.technique.as_ref().map(|t| t.text.clone()), s.target.clone()];
    lines.push(line("", what.into_iter().flatten().collect::<Vec<_>>().join(" · ")));
    let turn = if s.turns { "turn the person: " } else { "" };
    lines.extend(s.new_position.as_ref().map(|p| line("Position", format!("{turn}{}", p.text))));
    lines.extend(s.exposure.as_ref().map(|e| line("Bare", e)));
    lines.extend(s.measure.as_ref().map(|m| line("Measure", &m.text)));
    lines.extend(s.facts.iter().map(|f| line(&f.label, &f.text)));
    lines.extend(s.joints.iter().map(|j| line(&words::capital(&j.label), &j.text)));
    if s.treats {
        lines.extend(s.watch.iter().map(|w| line("Watch", w)));
        lines.extend(s.watch_every.as_ref().map(|e| line("Look every", e)));
    }
    if !s.stop.is_empty() {
        lines.push(line("Stop", stop_text(&s.stop)));
    }
    lines.extend(s.success.as_ref().map(|x| line("Good if", x)));
    lines.extend(s.then.as_ref().map(|x| line("Then", x)));
    lines.retain(|l| !l.text.is_empty());
    let item = Item { number: Some(s.number), lead: Some(s.action.clone()), dose: s.dose.clone(), lines, ..Item::default() };
    block("Do", "do", item)
}

fn back(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<Block> {
    let p = &site.catalog.protocols[idx];
    let mut out = Vec::new();
    let mut add = |heading, item| out.push(Block { back: true, ..block(heading, "back", item) });
    let retests = p.steps.iter().filter(|s| s.when.as_ref().is_some_and(|w| &*w.value == "re-test"));
    for s in retests {
        let measure = s.measure.as_ref().and_then(|m| site.follow(Kind::Measure, m)).map(|l| l.text).unwrap_or_default();
        add(
            "Re-test",
            Item { lines: vec![line(&format!("Step {}", s.number.value), format!("{} {measure}.", s.action.value))], ..Item::default() },
        );
    }
    add("Re-test", Item { lines: texts(&p.record).into_iter().map(|t| line("Write", t)).collect(), ..Item::default() });
    add("After-care", Item { lines: texts(&p.aftercare).into_iter().map(|t| line("", t)).collect(), ..Item::default() });
    for item in steps::home(site, idx) {
        let mut lines = vec![line("At home", &item.action)];
        lines.extend(item.often.iter().map(|o| line(&words::capital(&o.label), &o.text)));
        lines.push(line("Stop", stop_text(&item.stop)));
        lines.extend(item.first_check.iter().map(|c| line("First check", c)));
        add("After-care", Item { lead: Some(item.name), dose: item.dose, lines, ..Item::default() });
    }
    let change = p.change_plan.as_ref().map(|c| line("Change the plan", &*c.value));
    let decide = p.spacing.decide.as_ref().map(|d| line("Decide", &*d.value));
    add("After-care", Item { lines: change.into_iter().chain(decide).collect(), ..Item::default() });
    for claim in protocol::evidence_line(p) {
        add("Evidence", Item { lines: vec![line("", claim)], ..Item::default() });
    }
    add("Sources", Item { lines: vec![line("", protocol::short_sources(site, p).join(" · "))], ..Item::default() });
    let house = "Doses without a source are house or common practice; the page of the protocol says which. Withdraw this card when the edition changes.";
    add(
        "House notes",
        Item {
            lines: [Some(line("", house)), text(&p.tailoring).map(|t| line("Tailoring", t))].into_iter().flatten().collect(),
            ..Item::default()
        },
    );
    out.retain(|b| !b.item.lines.is_empty());
    out
}

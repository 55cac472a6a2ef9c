//! The card of an appointment with several protocols: the stop-signs of all, the cautions of all by the numbers of
//! this order, who turns when, where to look, and every step once.

use super::{after, ask, blank_of, block, line, piece, run, treat, treated};
use crate::compute::session::{Act, Visit};
use crate::model::docs::{Condition, Protocol, SAYS_STOP, Session};
use crate::model::{Idx, Kind};
use crate::plan::fit::{Block, deal};
use crate::plan::paper::{A5, Paper};
use crate::plan::site::{Site, doc, text, texts};
use crate::plan::view::card::{Cards, Face, Item, Piece};
use crate::plan::view::parts::{Link, Mark};
use crate::plan::view::pictogram;
use crate::plan::view::protocol::steps::StepView;
use crate::plan::view::session::acts::{ActView, short};
use crate::plan::view::session::cautions::{ByAct, Effect, OUTSIDE, OUTSIDE_ALL, effects, with};
use crate::plan::view::session::{NotFor, SessionPage, flags, reasons};
use crate::plan::view::told::Given;
use crate::plan::{route, words};

/// The card of one session; `None` if nothing is known of it.
pub fn one(site: &Site<'_>, idx: Idx<Session>) -> Option<Cards> {
    let own = doc(Kind::Session, idx);
    let mut frame = site.doc_frame(own);
    frame.title = format!("Card: {}", frame.title);
    let check = Link { text: "Does a printed card still hold?".into(), href: site.to(route::CARD_CHECK) };
    let all = Link { text: "All cards".into(), href: site.to(route::ALL_CARDS) };
    let page = Link { text: "Page of the session".into(), href: site.href(own) };
    Some(Cards { frame, links: vec![page, all, check], faces: faces(site, idx, A5)?, left_out: None })
}

/// Faces of a session.
pub fn faces(site: &Site<'_>, idx: Idx<Session>, paper: Paper) -> Option<Vec<Face>> {
    let session = &site.catalog.sessions[idx];
    let visit = &site.facts.sessions.get(idx.row())?.visit;
    let page = SessionPage::new(site, idx)?;
    let flags = flags(site, &visit.parts);
    let effects = effects(site, visit, Given::Beyond);
    let set_up = set_up(site, visit, &page);
    let (tailoring, late) = (tailoring(site, visit), late_line(&page));
    let begin = begin(site, visit, &page);
    let not_for: Vec<(bool, Piece)> = page.not_for.iter().map(|n| whom(site, visit, n)).collect();
    let views = steps(site, visit, page);
    let mut blocks = vec![ask::go_on()];
    blocks.extend(ask::flag_names(&flags));
    let name = |idx| -> (String, String) {
        let c: &Condition = &site.catalog.conditions[idx];
        (c.head.id.value.to_string(), c.name.value.to_string())
    };
    let (outside, inside): (Vec<&Effect>, Vec<&Effect>) = effects.iter().partition(|e| !e.outside.is_empty());
    let outside_of = |mark: Mark| {
        let left_out = |e: &Effect| e.outside.iter().map(|part| short(site, visit, *part)).collect::<Vec<_>>().join(", ");
        let of_some =
            |(id, name): (String, String), e: &Effect| if mark == OUTSIDE { (id, format!("{name} ({})", left_out(e))) } else { (id, name) };
        let named: Vec<_> = outside.iter().filter(|e| e.mark(visit).word == mark.word).map(|e| of_some(name(e.condition), e)).collect();
        let said: Vec<Piece> = not_for.iter().filter(|(all, _)| *all == (mark == OUTSIDE_ALL)).map(|(_, p)| p.clone()).collect();
        (mark, said, named)
    };
    let outside_of = [outside_of(OUTSIDE_ALL), outside_of(OUTSIDE)];
    blocks.extend(outside_of.iter().filter_map(|(mark, said, named)| ask::outside_of(*mark, said.clone(), named)));
    let named: Vec<_> = inside.iter().map(|e| name(e.condition)).collect();
    blocks.extend(ask::altered(&named, &views));
    blocks.extend(treat::whole(begin, &views, &[]));
    blocks.extend(set_up);
    blocks.extend(tailoring);
    blocks.extend(late);
    blocks.extend(find(site, visit));
    blocks.extend(treat::at_a_glance(&views));
    blocks.extend(home(site, visit));
    blocks.extend(ask::questions(&flags));
    for (mark, said, _) in outside_of {
        blocks.extend(ask::outside(mark, said, &[]));
    }
    blocks.extend(ask::with_legend(effects.into_iter().map(|e| block_of(site, visit, e)).collect()));
    let pack = &site.catalog.packs[session.head.pack];
    let rest = "Home programme, evidence and sources stand on the card of each protocol. Withdraw this card when the edition changes.";
    let said = text(&pack.demonstration).into_iter().chain([rest.to_string()]).map(|t| line("", t)).collect();
    blocks.push(block("Behind it", "back", Item { lines: said, ..Item::default() }));
    let muscles: Vec<String> = (0..visit.parts.len()).map(|part| short(site, visit, part)).collect();
    let title = session.title.value.to_string();
    let path = route::session_card(&session.head.id.value);
    let id = format!("card-session-{}", session.head.id.value);
    let own = (doc(Kind::Session, idx), pack);
    let blank = blank_of(site, own, &path, (id, title, format!("Session · {}", muscles.join(", "))));
    Some(deal(&blocks, &Face { figures: pictogram::of(site, &treated(site, &visit.parts)), ..blank }, paper))
}

/// Steps as they are carried out. A point or a whole muscle is named by its muscle, since two may have a point 1.
fn steps(site: &Site<'_>, visit: &Visit, page: SessionPage) -> Vec<StepView> {
    let several = visit.parts.len() > 1;
    let one = |(act, view): (&Act, ActView)| {
        let mut step = view.step;
        if several && act.steps.once.is_none() {
            step.action = format!("{}: {}", short(site, visit, act.steps.lead.part), step.action);
        }
        step
    };
    visit.acts.iter().zip(page.acts).map(one).collect()
}

/// Whom protocols are not for, with their names where it is not all of them.
fn whom(site: &Site<'_>, visit: &Visit, n: &NotFor) -> (bool, Piece) {
    let all = n.parts.len() == visit.parts.len();
    let names: Vec<String> = n.parts.iter().filter(|_| !all).map(|part| short(site, visit, *part)).collect();
    (all, piece(&names.join(", "), n.text.trim_end_matches('.')))
}

/// What a condition does, in one block.
fn block_of(site: &Site<'_>, visit: &Visit, effect: Effect) -> Block {
    let condition = &site.catalog.conditions[effect.condition];
    let question = condition.question.as_ref().map_or("", |q| &*q.value);
    let mut pieces = vec![Piece { condition: Some(condition.head.id.value.to_string()), ..piece(&condition.name.value, question) }];
    if !effect.outside.is_empty() {
        let names: Vec<String> = effect.outside.iter().map(|part| short(site, visit, *part)).collect();
        pieces.push(piece("Leave out", names.join(", ")));
    }
    pieces.extend(shown(effect.told));
    pieces.extend(effect.together.into_iter().map(|j| ask::with_others(&with(site, &j.with), shown(j.told))));
    block(ask::CHANGES, "cautions", Item { lines: vec![pieces], ..Item::default() })
}

fn shown(told: ByAct) -> Vec<Piece> {
    told.lines().into_iter().map(|(strength, text)| piece(&words::capital(strength.word()), text)).collect()
}

/// Side of each protocol.
fn sides(site: &Site<'_>, visit: &Visit) -> String {
    let one = |(i, p): (usize, &Idx<Protocol>)| {
        format!("{}: {}", short(site, visit, i), crate::plan::view::protocol::side(&site.catalog.protocols[*p]))
    };
    visit.parts.iter().enumerate().map(one).collect::<Vec<_>>().join("; ")
}

/// How the visit begins: sides, first position and time.
fn begin(site: &Site<'_>, visit: &Visit, page: &SessionPage) -> Item {
    let position = visit.acts.iter().find_map(|a| a.position).map(|p| site.catalog.positions[p].name.value.to_string());
    let lead = position.map(|p| format!("Begin: {p}"));
    Item { lead, lines: vec![vec![piece("Side", sides(site, visit)), piece("Time", &page.total)]], ..Item::default() }
}

/// Side, time, turns with their step, positions, what to bring, how to say stop.
fn set_up(site: &Site<'_>, visit: &Visit, page: &SessionPage) -> Vec<Block> {
    let mut out = Vec::new();
    let mut add =
        |lead: Option<String>, lines: Vec<Vec<Piece>>| out.push(block(treat::SET_UP, "set-up", Item { lead, lines, ..Item::default() }));
    let mut first = vec![piece("Time", &page.total)];
    first.extend(page.appointment.as_ref().map(|a| piece("Appointment", a)));
    first.push(piece("Order", reasons::way(visit)));
    let protocols = visit.parts.iter().map(|p| &site.catalog.protocols[*p]);
    add(None, vec![first, line("Side", sides(site, visit))]);
    let mut seen = Vec::new();
    for (row, act) in visit.acts.iter().enumerate() {
        let changed = act.turns || seen.is_empty();
        let Some(position) = act.position.filter(|_| changed) else { continue };
        let p = &site.catalog.positions[position];
        let lead = format!("{} step {}: {}", if seen.is_empty() { "From" } else { "Turn before" }, row + 1, p.name.value);
        let fresh = !seen.contains(&position);
        seen.push(position);
        let supports = fresh.then(|| texts(&p.supports).join(", "));
        add(Some(lead), vec![run(vec![("Supports", supports), ("Drape", fresh.then(|| p.drape.value.to_string()))])]);
    }
    let mut equipment: Vec<String> = Vec::new();
    for item in protocols.clone().flat_map(|p| texts(&p.equipment)) {
        if !equipment.contains(&item) {
            equipment.push(item);
        }
    }
    add(None, vec![line("Bring", equipment.join(", "))]);
    let mut says: Vec<String> = Vec::new();
    for text in protocols.flat_map(|p| p.consent.iter().filter(|(label, _)| *label == SAYS_STOP)).map(|(_, t)| t.value.to_string()) {
        if !says.contains(&text) {
            says.push(text);
        }
    }
    add(None, vec![line(SAYS_STOP, says.join(" "))]);
    for (part, protocol) in visit.parts.iter().enumerate() {
        let sensitive = &site.catalog.protocols[*protocol].sensitive;
        if !sensitive.is_empty() {
            let pieces = sensitive.iter().map(|(label, text)| piece(label, &*text.value)).collect();
            add(Some(format!("Sensitive region, {}", short(site, visit, part))), vec![pieces]);
        }
    }
    out.retain(|b| b.item.lead.is_some() || b.item.lines.iter().flatten().any(|p| !p.text.is_empty()));
    out
}

/// For whom a protocol leaves something out or lowers it: read before the first step, as on its own card.
fn tailoring(site: &Site<'_>, visit: &Visit) -> Vec<Block> {
    let one = |(part, protocol): (usize, &Idx<_>)| {
        let said = text(&site.catalog.protocols[*protocol].tailoring)?;
        let lines = vec![line(&format!("Tailoring, {}", short(site, visit, part)), said)];
        Some(block(treat::SET_UP, "set-up", Item { lines, ..Item::default() }))
    };
    visit.parts.iter().enumerate().filter_map(one).collect()
}

/// Points and hazards of each muscle.
fn find(site: &Site<'_>, visit: &Visit) -> Vec<Block> {
    let mut out = Vec::new();
    for (part, protocol) in visit.parts.iter().enumerate() {
        let own = short(site, visit, part);
        let mut blocks = treat::find(site, *protocol);
        for b in &mut blocks {
            // Two muscles may have a point 1.
            b.item.lead = b.item.lead.take().filter(|_| b.item.ring).map(|lead| format!("{own}: {lead}"));
        }
        let Some(first) = blocks.first_mut() else { continue };
        let item = Item { lead: Some(own), ..Item::default() };
        let one_face = std::mem::take(&mut first.one_face) && part == 0;
        out.push(Block { keep_next: true, one_face, ..block(first.heading, first.class, item) });
        out.extend(blocks);
    }
    out
}

/// What goes first if time is short.
fn late_line(page: &SessionPage) -> Option<Block> {
    let first: Vec<String> = page.late.iter().take(3).map(|l| format!("{}, wins {}", l.act, l.wins)).collect();
    if first.is_empty() {
        return None;
    }
    let never = "stop-signs, consent, tests, both measurements, looks at the skin or the closing";
    Some(block(
        treat::SET_UP,
        "set-up",
        Item {
            lines: vec![vec![
                piece("If late, leave out", first.join("; then ")),
                piece("Then", "a change of position named there comes before the next step"),
                piece("Never", never),
            ]],
            ..Item::default()
        },
    ))
}

/// After-care of each protocol.
fn home(site: &Site<'_>, visit: &Visit) -> Vec<Block> {
    let mut out = Vec::new();
    for (part, protocol) in visit.parts.iter().enumerate() {
        // The first block is the after-care, the others are the home programme.
        let Some(first) = after::at_a_glance(site, *protocol).into_iter().next().filter(|b| b.item.lead.is_none()) else { continue };
        let mut lines = first.item.lines;
        if let Some(said) = lines.first_mut() {
            said.insert(0, piece(&short(site, visit, part), ""));
        }
        out.push(block(first.heading, first.class, Item { lines, ..Item::default() }));
    }
    out
}

//! An appointment step by step, as data: the order, what is done once, why the person turns, what goes first.

use super::values::interval;
use crate::compute::numb::At;
use crate::compute::session::{Cause, Once, Visit, Way};
use crate::model::docs::Protocol;
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc};
use crate::plan::view::session::reasons;
use serde_json::{Value, json};

/// Red flags and cautions of all protocols, each once, with the protocols that they touch.
pub(super) fn asked(site: &Site<'_>, visit: &Visit) -> Value {
    let id = |p: &Idx<Protocol>| site.catalog.protocols[*p].head.id.value.to_string();
    let flags = site.catalog.flags.iter().filter_map(|(idx, flag)| {
        let touches = |p: &&Idx<Protocol>| site.facts.of(**p).flags.flags.iter().any(|f| f.flag == idx);
        let protocols: Vec<String> = visit.parts.iter().filter(touches).map(id).collect();
        (!protocols.is_empty()).then(|| json!({"flag": *flag.head.id.value, "question": *flag.question.value, "protocols": protocols}))
    });
    let cautions = site.catalog.conditions.iter().filter_map(|(idx, condition)| {
        let touches = |p: &&Idx<Protocol>| site.facts.of(**p).cautions.iter().any(|c| c.condition == idx);
        let protocols: Vec<String> = visit.parts.iter().filter(touches).map(id).collect();
        let question = &*condition.question.as_ref().unwrap_or(&condition.name).value;
        (!protocols.is_empty()).then(|| json!({"condition": *condition.head.id.value, "question": question, "protocols": protocols}))
    });
    let combinations = site.catalog.conditions.iter().flat_map(|(idx, c)| c.together.iter().enumerate().map(move |(row, t)| (idx, row, t)));
    let combinations = combinations.filter_map(|(idx, row, t)| {
        let touches = |p: &&Idx<Protocol>| site.facts.of(**p).combinations.iter().any(|c| (c.condition, c.row) == (idx, row));
        let protocols: Vec<String> = visit.parts.iter().filter(touches).map(id).collect();
        let name = |c| site.catalog.id(doc(Kind::Condition, c)).to_string();
        let with: Vec<String> = t.others(idx).into_iter().map(name).collect();
        let row = json!({"condition": name(idx), "row": row, "with": with, "reason": *t.reason.value, "protocols": protocols});
        (!protocols.is_empty()).then_some(row)
    });
    let not_for =
        visit.parts.iter().filter_map(|p| Some(json!({"protocol": id(p), "not_for": *site.catalog.protocols[*p].not_for()?.value})));
    json!({
        "not_for": not_for.collect::<Vec<_>>(),
        "flags": flags.collect::<Vec<_>>(), "cautions": cautions.collect::<Vec<_>>(), "combinations": combinations.collect::<Vec<_>>(),
    })
}

/// Order, acts, turns, and what may be left out. Acts are numbered from 1.
pub(super) fn visit(site: &Site<'_>, visit: &Visit) -> Value {
    let position = |p: Idx<crate::model::docs::Position>| site.catalog.id(doc(Kind::Position, p)).to_string();
    let rule = |c: Cause| json!({"rule": word(c), "shown": reasons::cause(site, visit, c)});
    let acts = visit.acts.iter().zip(&visit.timeline.slots).enumerate().map(|(i, (a, slot))| {
        json!({
            "number": i + 1, "steps": a.steps.members.iter().filter_map(|m| step(site, visit, *m)).collect::<Vec<_>>(),
            "done": step(site, visit, a.steps.lead), "once": a.steps.once.map(once), "position": a.position.map(position),
            "exposure": a.exposure, "turn": a.turns, "start": interval(slot.start), "end": interval(slot.end), "known": slot.known,
        })
    });
    let turns = visit.turns.iter().map(|t| {
        let held = t.held.as_ref().map(|h| json!({"act": h.waits + 1, "waits_for": h.for_act + 1, "because": rule(h.cause)}));
        json!({"before": t.at + 1, "from": position(t.from), "to": position(t.to), "first": t.first, "held": held, "shown": reasons::turn(site, visit, t)})
    });
    let forced = visit.forced.iter().map(|f| json!({"because": rule(f.cause), "turns_without": f.without}));
    let late = visit.late.iter().map(|l| {
        let falls: Vec<usize> = l.falls.iter().map(|row| row + 1).collect();
        json!({"act": l.act + 1, "goes_with_it": falls, "wins": interval(l.wins), "because": reasons::goes(l)})
    });
    json!({
        "order": way(visit.way), "turns": visit.timeline.turns, "turns_as_listed": visit.listed, "fewest_turns": visit.fewest,
        "times_in_positions_kept": visit.stays_kept, "acts": acts.collect::<Vec<_>>(), "why_turns": turns.collect::<Vec<_>>(),
        "costs_turns": forced.collect::<Vec<_>>(), "leave_out_first": late.collect::<Vec<_>>(),
        "ranking": "common practice, no source",
    })
}

fn step(site: &Site<'_>, visit: &Visit, at: At) -> Option<Value> {
    let protocol = &site.catalog.protocols[*visit.parts.get(at.part)?];
    Some(json!({"protocol": *protocol.head.id.value, "step": protocol.steps.get(at.step)?.number.value}))
}

fn way(way: Way) -> &'static str {
    match way {
        Way::Fewest => "fewest turns",
        Way::AsListed => "as listed",
        Way::NoOrder => "as listed, no order keeps every rule",
        Way::TooMany => "as listed, too many orders to search",
    }
}

fn once(once: Once) -> &'static str {
    match once {
        Once::Asked => "asked",
        Once::Agreed => "agreed",
        Once::Told => "told",
        Once::Measured => "measured",
        Once::Tested => "tested",
        Once::Warmed => "warmed",
        Once::Looked => "looked at",
    }
}

fn word(cause: Cause) -> &'static str {
    match cause {
        Cause::Own(_) => "order of the protocol",
        Cause::ScreenFirst => "screening first",
        Cause::ConsentFirst => "consent first",
        Cause::BaselineFirst => "baseline first",
        Cause::TalkLast => "closing talk last",
        Cause::Order(..) => "order rule",
        Cause::Gap(..) => "gap",
        Cause::Numb => "numb skin",
        Cause::Rewarm => "warm again",
        Cause::Opposed => "heat and cold apart",
        Cause::Rubbed => "rub",
        Cause::Tied(_) => "belongs together",
        Cause::Stay(_) => "time in a position",
    }
}

//! Protocols and sessions with what was derived from them.

use super::mechanics::stretch;
use super::values::{amount, claims, dose, ground, id, interval, number, pairs, places, stops, text, texts};
use crate::compute::ledger::{Key, Ledger, Origin};
use crate::compute::reporting::State;
use crate::compute::steps::StepFacts;
use crate::model::docs::{JointAngle, Protocol, Session, Step, Target};
use crate::model::region::regions;
use crate::model::{Catalog, Idx, Kind};
use crate::plan::site::{Site, doc};
use serde_json::{Value, json};

pub(super) fn protocol(site: &Site<'_>, idx: Idx<Protocol>) -> Value {
    let catalog = site.catalog;
    let p = &catalog.protocols[idx];
    json!({
        "muscle": id(catalog, Kind::Muscle, &p.muscle), "side": *p.side.value, "aim": *p.aim.value,
        "population": {
            "words": pairs(&p.population.words), "ages": amount(&p.population.ages), "pregnancy": text(&p.population.pregnancy),
            "excludes": p.population.excludes.iter().filter_map(|c| id(catalog, Kind::Condition, c)).collect::<Vec<_>>(),
        },
        "rationale": claims(catalog, &p.rationale), "mode": text(&p.mode), "setting": text(&p.setting), "appointment": amount(&p.appointment),
        "equipment": texts(&p.equipment), "allergens": text(&p.allergens), "consent": pairs(&p.consent), "sensitive": pairs(&p.sensitive),
        "steps": p.steps.iter().zip(&site.facts.of(idx).steps).map(|(s, f)| step(catalog, s, f)).collect::<Vec<_>>(),
        "home": home(site, idx),
        "spacing": {
            "gap": amount(&p.spacing.gap), "per_week": amount(&p.spacing.per_week), "sessions": amount(&p.spacing.sessions),
            "decide_after": amount(&p.spacing.decide_after), "decide": text(&p.spacing.decide), "ground": ground(catalog, &p.spacing.ground),
        },
        "aftercare": texts(&p.aftercare), "change_plan": text(&p.change_plan), "tailoring": text(&p.tailoring), "modifications": text(&p.modifications),
        "audit": {"planned": text(&p.audit_planned), "actual": text(&p.audit_actual)},
        "evidence": claims(catalog, &p.evidence), "record": texts(&p.record), "leaflet": text(&p.leaflet), "notes": text(&p.notes),
        "derived": derived(site, idx),
    })
}

fn step(catalog: &Catalog, s: &Step, facts: &StepFacts) -> Value {
    json!({
        "number": s.number.value, "do": *s.action.value, "technique": id(catalog, Kind::Technique, &s.technique), "target": target(&s.target),
        "position": s.position.as_ref().and_then(|p| id(catalog, Kind::Position, p)), "exposure": text(&s.exposure), "dose": dose(&s.dose),
        "monitoring": text(&s.monitoring), "stop": stops(&s.stop), "success": text(&s.success),
        "then": s.then.as_ref().map(|b| json!({"if": text(&b.when), "go": text(&b.go), "up_to": amount(&b.up_to)})),
        "measure": s.measure.as_ref().and_then(|m| id(catalog, Kind::Measure, m)), "when": text(&s.when),
        "taken": {"instrument": text(&s.taken.instrument), "repeats": text(&s.taken.repeats), "rater": text(&s.taken.rater)},
        "goal": s.goal.as_ref().map(|g| json!({"change": amount(&g.change), "over": *g.over.value, "ground": ground(catalog, &g.ground)})),
        "borrowed": text(&s.borrowed),
        "resists": s.resists.as_ref().map(|r| r.value.shown()), "support": text(&s.support), "ground": ground(catalog, &s.ground),
        "joints": joints(&s.joints), "stretch": stretch(catalog, facts.stretch.as_ref()),
        "sweep": super::chart::sweep(&s.sweep, facts.sweep.as_ref()),
    })
}

fn joints(all: &[JointAngle]) -> Value {
    all.iter().map(|j| json!({"coordinate": j.coordinate.id, "angle": super::values::quantity(&j.angle.value)})).collect()
}

fn target(t: &Target) -> Value {
    json!({"point": t.point.as_ref().map(|p| p.value), "regions": places(&t.regions.all), "muscle": t.muscle})
}

fn home(site: &Site<'_>, idx: Idx<Protocol>) -> Value {
    let catalog = site.catalog;
    let items = catalog.protocols[idx].home.iter().zip(&site.facts.of(idx).home);
    items
        .map(|(h, facts)| {
            json!({
                "name": *h.name.value, "do": *h.action.value, "technique": id(catalog, Kind::Technique, &h.technique), "target": target(&h.target),
                "dose": dose(&h.dose), "per_day": amount(&h.per_day), "days": amount(&h.days), "weeks": amount(&h.weeks), "stop": stops(&h.stop),
                "first_check": text(&h.first_check), "joints": joints(&h.joints), "stretch": stretch(catalog, facts.stretch.as_ref()), "ground": ground(catalog, &h.ground),
            })
        })
        .collect()
}

fn derived(site: &Site<'_>, idx: Idx<Protocol>) -> Value {
    let (catalog, facts) = (site.catalog, site.facts.of(idx));
    let p = &catalog.protocols[idx];
    let step_number = |i: usize| p.steps.get(i).map(|s| s.number.value);
    let hits = |hits: &[crate::compute::cautions::Hit]| -> Vec<Value> {
        let one = |h: &crate::compute::cautions::Hit| {
            let (step, item) = if h.home { (None, Some(h.step + 1)) } else { (step_number(h.step), None) };
            json!({"step": step, "home_item": item, "stressor": h.stressor.word(), "strength": h.strength.word(), "rule": h.rule})
        };
        hits.iter().map(one).collect()
    };
    let caution = |c: &crate::compute::cautions::Caution| {
        let condition = &catalog.conditions[c.condition];
        let question = &*condition.question.as_ref().unwrap_or(&condition.name).value;
        json!({"condition": catalog.id(doc(Kind::Condition, c.condition)), "question": question, "strength": c.strength.word(), "hits": hits(&c.hits)})
    };
    let combination = |c: &crate::compute::together::Combination| {
        let id = |idx| catalog.id(doc(Kind::Condition, idx)).to_string();
        let others: Vec<String> = c.others.iter().map(|o| id(*o)).collect();
        let reason = c.written(catalog).map(|t| t.reason.value.to_string());
        json!({"condition": id(c.condition), "row": c.row, "with": others, "strength": c.strength.word(), "reason": reason, "hits": hits(&c.hits)})
    };
    let flag = |f: &crate::compute::flags::DerivedFlag| {
        let question = &*catalog.flags[f.flag].question.value;
        json!({"flag": catalog.id(doc(Kind::Flag, f.flag)), "question": question, "regions": reasons(&f.reasons)})
    };
    let slots = p.steps.iter().zip(&facts.timeline.slots).map(|(s, slot)| {
        json!({"step": s.number.value, "start": interval(slot.start), "end": interval(slot.end), "turn": slot.turn, "known": slot.known})
    });
    let cell = |c: &crate::compute::reporting::Cell| match c.state {
        State::Filled => json!({"item": c.item, "name": c.name, "state": "filled"}),
        State::Empty => json!({"item": c.item, "name": c.name, "state": "empty"}),
        State::NotApplicable(why) => json!({"item": c.item, "name": c.name, "state": "does not apply", "reason": why}),
    };
    json!({
        "ledger": ledger(catalog, &facts.ledger),
        "cautions": facts.cautions.iter().map(caution).collect::<Vec<_>>(),
        "combinations": facts.combinations.iter().map(combination).collect::<Vec<_>>(),
        "flags": facts.flags.flags.iter().map(flag).collect::<Vec<_>>(),
        "uncovered": facts.flags.uncovered.iter().map(|u| u.topic.clone()).collect::<std::collections::BTreeSet<_>>(),
        "timeline": {
            "slots": slots.collect::<Vec<_>>(), "turns": facts.timeline.turns, "total": interval(facts.timeline.total),
            "appointment": facts.timeline.appointment.map(number),
        },
        "thermal": thermal_steps(p, facts),
        "thumb": {
            "longest_hold": facts.thumb.longest.map(|(_, t)| interval(t)), "total": facts.thumb.total.map(interval),
            "steps": facts.thumb.steps.iter().filter_map(|row| step_number(*row)).collect::<Vec<_>>(),
        },
        "reporting": facts.reporting.iter().map(cell).collect::<Vec<_>>(),
    })
}

/// Computed heat and cold, by step and home item.
fn thermal_steps(p: &Protocol, facts: &crate::compute::ProtocolFacts) -> Vec<Value> {
    let steps = p.steps.iter().zip(&facts.steps).filter_map(|(s, f)| {
        let t = f.thermal.as_ref()?;
        Some(json!({"step": s.number.value, "result": super::thermal::thermal(t)}))
    });
    let home = facts.home.iter().enumerate().filter_map(|(i, f)| {
        let t = f.thermal.as_ref()?;
        Some(json!({"home_item": i + 1, "result": super::thermal::thermal(t)}))
    });
    steps.chain(home).collect()
}

fn reasons(reasons: &[crate::compute::flags::Reason]) -> Value {
    let mut places: Vec<_> = reasons.iter().map(|r| r.place).collect();
    places.dedup();
    super::values::places(&places)
}

fn ledger(catalog: &Catalog, ledger: &Ledger) -> Value {
    let key = |k: Key| match k {
        Key::Skin(region, _) => json!({"skin": regions().get(region).id, "shown": k.shown(catalog)}),
        Key::Point(muscle, n) => json!({"point": n, "muscle": catalog.id(doc(Kind::Muscle, muscle)), "shown": k.shown(catalog)}),
        Key::Muscle(muscle) => json!({"muscle": catalog.id(doc(Kind::Muscle, muscle)), "shown": k.shown(catalog)}),
    };
    let part = |x: &crate::compute::ledger::Part| {
        let protocol = &catalog.protocols[x.protocol];
        let (step, item) = match x.origin {
            Origin::Step(i) => (protocol.steps.get(i).map(|s| s.number.value), None),
            Origin::Home(i) => (None, Some(i + 1)),
        };
        json!({"protocol": *protocol.head.id.value, "step": step, "home_item": item, "amount": interval(x.amount)})
    };
    let cell = |c: &crate::compute::ledger::Cell| {
        let bound = |b: &crate::compute::ledger::Bound| json!({"per": b.per.word(), "max": number(b.max), "house": b.house});
        json!({
            "key": key(c.key), "stressor": c.stressor.word(), "dimension": c.dim.word(), "session": interval(c.session), "week": interval(c.week),
            "parts": c.parts.iter().map(part).collect::<Vec<_>>(), "limits": c.bounds.iter().map(bound).collect::<Vec<_>>(),
        })
    };
    ledger.cells.iter().map(cell).collect()
}

pub(super) fn session(site: &Site<'_>, idx: Idx<Session>) -> Value {
    let s = &site.catalog.sessions[idx];
    let facts = site.facts.sessions.get(idx.row());
    json!({
        "protocols": s.protocols.iter().filter_map(|p| id(site.catalog, Kind::Protocol, p)).collect::<Vec<_>>(),
        "appointment": amount(&s.appointment), "note": text(&s.note),
        "order": text(&s.order),
        "derived": facts.map(|f| json!({
            "ledger": ledger(site.catalog, &f.ledger), "total": interval(f.total), "asked": super::session::asked(site, &f.visit),
            "visit": super::session::visit(site, &f.visit),
        })),
    })
}

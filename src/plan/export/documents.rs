//! Documents that carry no derived facts.

use super::values::{amount, claims, dose, ground, id, limits, pairs, places, stops, text, texts};
use crate::model::docs::{Comes, Condition, Flag, Muscle, Point, Position, Technique, Towards};
use crate::model::{Catalog, Kind};
use serde_json::{Value, json};

pub(super) fn muscle(catalog: &Catalog, m: &Muscle) -> Value {
    let g = |x: &crate::model::docs::Ground| ground(catalog, x);
    json!({
        "latin": *m.latin.value,
        "other_names": texts(&m.other_names),
        "misspellings": texts(&m.misspellings),
        "regions": places(&m.regions.all),
        "attachments": m.attachments.iter().map(|a| json!({"end": a.end, "text": *a.text.value, "landmarks": texts(&a.landmarks), "ground": g(&a.ground)})).collect::<Vec<_>>(),
        "actions": m.actions.iter().map(|a| json!({"motion": a.motion.as_ref().map(|x| x.value.shown()), "note": text(&a.note), "ground": g(&a.ground)})).collect::<Vec<_>>(),
        "joints": texts(&m.joints),
        "nerve": {"name": text(&m.nerve), "segments": texts(&m.segments), "ground": g(&m.nerve_ground)},
        "fibres": {"text": text(&m.fibres), "ground": g(&m.fibres_ground)},
        "layer": text(&m.layer),
        "neighbours": m.neighbours.iter().map(|n| json!({"name": *n.name.value, "muscle": n.muscle.as_ref().and_then(|r| id(catalog, Kind::Muscle, r)), "tell_apart": *n.tell_apart.value})).collect::<Vec<_>>(),
        "hazards": m.hazards.iter().map(|h| json!({"text": *h.text.value, "regions": places(&h.regions.all), "ground": g(&h.ground)})).collect::<Vec<_>>(),
        "palpation": {
            "method": text(&m.palpation.method), "position": m.palpation.position.as_ref().and_then(|r| id(catalog, Kind::Position, r)),
            "stand_out": text(&m.palpation.stand_out), "resists": m.palpation.resists.as_ref().map(|r| r.value.shown()),
            "normal": text(&m.palpation.normal), "ground": g(&m.palpation.ground),
        },
        "points": m.points.iter().map(|p| point(catalog, p)).collect::<Vec<_>>(),
        "mechanics": super::mechanics::tables(catalog, m),
        "chart": super::chart::muscle(catalog, m), "look_alikes": super::chart::look_alikes(catalog, m),
        "notes": text(&m.notes),
    })
}

fn point(catalog: &Catalog, p: &Point) -> Value {
    let zone = p.zone.as_ref().map(|z| {
        json!({"core": places(&z.core.all), "spread": places(&z.spread.all), "drawn": super::chart::zone(z), "share": text(&z.share), "ground": ground(catalog, &z.ground)})
    });
    json!({
        "number": p.number.value,
        "landmark": {"from": text(&p.from), "direction": text(&p.direction), "distance": amount(&p.distance), "depth": text(&p.depth)},
        "region": places(&p.region.all), "grip": text(&p.grip), "pressure": text(&p.pressure),
        "confirms": p.confirms.iter().map(|s| json!({"sign": *s.sign.value, "note": text(&s.note), "reliability": super::measure::reliability(catalog, &s.reliability), "ground": ground(catalog, &s.ground)})).collect::<Vec<_>>(),
        "chart": super::chart::marks(p), "zone": zone, "hazard": text(&p.hazard), "stop": text(&p.stop),
    })
}

fn apparatus(a: &crate::model::docs::Apparatus) -> Value {
    let safety: serde_json::Map<String, Value> =
        a.safety.parts().into_iter().filter_map(|(key, _, t)| t.map(|t| (key.into(), json!(*t.value)))).collect();
    json!({
        "agent": text(&a.agent), "source": a.source.value.word(), "cover": a.cover.as_ref().map(|c| c.value.word()),
        "footprint": amount(&a.footprint), "first_check": amount(&a.first_check), "safety": safety,
    })
}

pub(super) fn technique(catalog: &Catalog, t: &Technique) -> Value {
    let comes = |c: Comes| match c {
        Comes::After => "after",
        Comes::Before => "before",
        Comes::OnlyAfter => "only after",
        Comes::Apart => "apart",
    };
    let order = t.order.iter().map(|r| {
        let (technique, stressor) = match &r.towards {
            Some(Towards::Technique(x)) => (id(catalog, Kind::Technique, x), None),
            Some(Towards::Stressor(s)) => (None, Some(s.word())),
            None => (None, None),
        };
        json!({"comes": comes(r.comes), "technique": technique, "stressor": stressor, "gap": amount(&r.gap), "anywhere": r.anywhere, "why": *r.why.value})
    });
    json!({
        "other_names": texts(&t.other_names), "aim": *t.aim.value, "role": t.role.word(),
        "exposes": t.exposes.iter().map(|e| json!({"stressor": e.stressor.word(), "total": texts(&e.total), "peak": text(&e.peak), "numbs_for": amount(&e.numbs_for)})).collect::<Vec<_>>(),
        "parameters": t.parameters.iter().map(|p| json!({"name": *p.name.value, "allowed": amount(&p.allowed), "words": texts(&p.words), "required": p.required, "means": text(&p.means), "ground": ground(catalog, &p.ground)})).collect::<Vec<_>>(),
        "thermal": t.thermal.iter().map(apparatus).collect::<Vec<_>>(),
        "takes": t.takes.iter().map(|x| json!({"times": texts(&x.times), "over": texts(&x.over)})).collect::<Vec<_>>(),
        "sweep": super::chart::rule(catalog, &t.sweep),
        "set_up": amount(&t.set_up), "training": *t.training.value, "authorisation": text(&t.authorisation),
        "contact": texts(&t.contact), "equipment": texts(&t.equipment), "allergens": text(&t.allergens), "manner": pairs(&t.manner),
        "monitoring": {"what": text(&t.monitoring), "every": amount(&t.monitoring_every)},
        "start": texts(&t.start), "stop": stops(&t.stop), "order": order.collect::<Vec<_>>(), "limits": limits(catalog, &t.limits),
        "recovery": amount(&t.recovery), "after_effects": {"text": text(&t.after_effects), "last": amount(&t.after_effects_last)},
        "harms": claims(catalog, &t.harms), "if_wrong": *t.if_wrong.value, "notes": text(&t.notes), "ground": ground(catalog, &t.ground),
    })
}

pub(super) fn condition(catalog: &Catalog, c: &Condition) -> Value {
    let rule = |r: &crate::model::docs::Rule| {
        json!({
            "stressor": r.stressor.word(), "strength": r.strength.word(), "regions": places(&r.regions.all), "max": dose(&r.max),
            "instead": r.instead.as_ref().and_then(|t| id(catalog, Kind::Technique, t)), "why": text(&r.why),
        })
    };
    let together = |t: &crate::model::docs::Together| {
        json!({
            "with": t.with.iter().filter_map(|c| id(catalog, Kind::Condition, c)).collect::<Vec<_>>(),
            "rules": t.rules.iter().map(rule).collect::<Vec<_>>(), "reason": *t.reason.value,
        })
    };
    json!({
        "other_names": texts(&c.other_names), "question": text(&c.question), "look_for": text(&c.look_for), "scope": text(&c.scope),
        "rules": c.rules.iter().map(rule).collect::<Vec<_>>(), "together": c.together.iter().map(together).collect::<Vec<_>>(),
        "reason": *c.reason.value,
        "allows": c.allows.iter().filter_map(|t| id(catalog, Kind::Technique, t)).collect::<Vec<_>>(),
        "clears": text(&c.clears), "lasts": text(&c.lasts), "until": text(&c.until), "ground": ground(catalog, &c.ground),
    })
}

pub(super) fn flag(catalog: &Catalog, f: &Flag) -> Value {
    json!({
        "covers": texts(&f.covers), "presentation": *f.presentation.value, "question": *f.question.value, "sign": text(&f.sign),
        "regions": places(&f.regions.all), "urgency": f.urgency.map(crate::model::vocabulary::Urgency::word), "clock": f.urgency.map(crate::model::vocabulary::Urgency::clock),
        "destination": text(&f.destination), "treatment": *f.treatment.value, "meanwhile": *f.meanwhile.value, "say": text(&f.say),
        "write": text(&f.write), "safety_net": text(&f.safety_net),
        "guidance": {"year": f.guidance_year.as_ref().map(|y| y.value), "checked": f.guidance_checked.as_ref().map(|d| d.value.to_string())},
        "ground": ground(catalog, &f.ground),
    })
}

pub(super) fn position(catalog: &Catalog, p: &Position) -> Value {
    let joint =
        |j: &crate::model::docs::JointAngle| json!({"coordinate": j.coordinate.id, "angle": super::values::quantity(&j.angle.value)});
    json!({
        "how": *p.how.value, "joints": p.joints.iter().map(joint).collect::<Vec<_>>(), "supports": texts(&p.supports),
        "exposed": places(&p.exposed.all), "drape": *p.drape.value, "bears_weight": places(&p.bears_weight.all),
        "barred_by": p.barred_by.iter().map(|(c, why)| json!({"condition": id(catalog, Kind::Condition, c), "why": *why.value})).collect::<Vec<_>>(),
        "handling": pairs(&p.handling), "time_limit": amount(&p.time_limit), "end_range": p.end_range, "ground": ground(catalog, &p.ground),
    })
}

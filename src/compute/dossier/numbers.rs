//! Rows of numbers: every amount that somebody wrote, with its own ground or that of its document.

use super::{RowKind, Rows, SILENT, Said, doc, slug};
use crate::model::docs::{
    Amount, Condition, Dose, DoseEntry, DoseValue, Ground, HomeItem, Limit, Measure, Muscle, Pack, Position, Protocol, Reliability,
    Technique, Together,
};
use crate::model::quantity::number;
use crate::model::{DocRef, Idx, Kind};
use crate::source::Span;

pub(super) fn gather(rows: &mut Rows<'_>) {
    let catalog = rows.catalog;
    catalog.packs.iter().for_each(|(i, p)| pack(rows, doc(Kind::Pack, i), p));
    catalog.techniques.iter().for_each(|(i, t)| technique(rows, doc(Kind::Technique, i), t));
    catalog.positions.iter().for_each(|(i, p)| position(rows, doc(Kind::Position, i), p));
    catalog.conditions.iter().for_each(|(i, c)| condition(rows, doc(Kind::Condition, i), c));
    catalog.measures.iter().for_each(|(i, m)| measure(rows, doc(Kind::Measure, i), m));
    catalog.muscles.iter().for_each(|(i, m)| muscle(rows, doc(Kind::Muscle, i), m));
    catalog.protocols.iter().for_each(|(i, p)| protocol(rows, i, p));
}

/// The own ground, or that of the whole where there is none.
fn or<'a>(own: &'a Ground, whole: &'a Ground) -> &'a Ground {
    if own.is_silent() { whole } else { own }
}

fn put(rows: &mut Rows<'_>, d: DocRef, path: &str, name: &str, value: String, at: Span, ground: &Ground) -> usize {
    rows.add(RowKind::Number, d, path, Said { name: name.to_string(), value, at, ground })
}

fn amount(rows: &mut Rows<'_>, d: DocRef, path: &str, amount: Option<&Amount>, ground: &Ground) {
    if let Some(q) = amount {
        let name = path.replace('/', ", ").replace('-', " ");
        put(rows, d, path, &name, q.value.shown(), q.span, ground);
    }
}

/// Path of a limit: what, over what, where.
pub(super) fn limit_path(limit: &Limit) -> String {
    let mut places: Vec<&str> = limit.regions.written.iter().map(|r| &*r.value).chain(limit.tags.iter().map(|t| t.word())).collect();
    places.sort_unstable();
    let dim = limit.max.as_ref().map(|m| m.value.dim().word()).unwrap_or_default();
    format!("limits/{}/{}/{}/{}", slug(limit.stressor.word()), limit.per.word(), slug(dim), slug(&places.join(" ")))
}

fn limits(rows: &mut Rows<'_>, d: DocRef, all: &[Limit], whole: &Ground) {
    for limit in all {
        let Some(max) = &limit.max else { continue };
        let mut name = format!("limit, {} for each {}", limit.stressor.word(), limit.per.word());
        let places: Vec<&str> = limit.regions.written.iter().map(|r| &*r.value).chain(limit.tags.iter().map(|t| t.word())).collect();
        if !places.is_empty() {
            name += &format!(" ({})", places.join(", "));
        }
        put(rows, d, &limit_path(limit), &name, max.value.shown(), max.span, or(&limit.ground, whole));
    }
}

fn pack(rows: &mut Rows<'_>, d: DocRef, p: &Pack) {
    if let Some(n) = &p.emergency {
        put(rows, d, "emergency/number", "emergency number", n.value.to_string(), n.span, &p.emergency_ground);
    }
    amount(rows, d, "appointment", p.appointment.as_ref(), &p.house_ground);
    amount(rows, d, "review/interval", p.review_interval.as_ref(), &p.house_ground);
    let house = [
        ("pain-cap", &p.pain_cap),
        ("turn", &p.turn),
        ("notes", &p.notes_time),
        ("thumb/hold", &p.thumb_hold),
        ("thumb/session", &p.thumb_session),
    ];
    for (key, value) in house {
        amount(rows, d, &format!("house/{key}"), value.as_ref(), &p.house_ground);
    }
    limits(rows, d, &p.limits, &p.house_ground);
    for (key, n) in p.thermal.rows() {
        // What the house left out holds by default, and the default stands in the tool with its source.
        let ground = if n.stated.is_some() { &p.house_ground } else { &SILENT };
        let name = format!("{}{}", key.replace('-', " "), if n.stated.is_some() { "" } else { " (default of the tool)" });
        put(rows, d, &format!("house/thermal/{key}"), &name, n.shown(), n.stated.unwrap_or(p.head.at), ground);
    }
}

fn technique(rows: &mut Rows<'_>, d: DocRef, t: &Technique) {
    for p in &t.parameters {
        let words = || p.words.iter().map(|w| &*w.value).collect::<Vec<_>>().join(", ");
        let value = p.allowed.as_ref().map_or_else(words, |q| q.value.shown());
        let at = p.allowed.as_ref().map_or(p.name.span, |q| q.span);
        put(rows, d, &format!("parameters/{}", p.name.value), &p.name.value, value, at, or(&p.ground, &t.ground));
    }
    limits(rows, d, &t.limits, &t.ground);
    for e in &t.exposes {
        amount(rows, d, &format!("exposes/{}/numbs-for", slug(e.stressor.word())), e.numbs_for.as_ref(), &t.ground);
    }
    for a in &t.thermal {
        let key = slug(&format!("{} {}", a.source.value.word(), a.agent.as_ref().map_or("", |w| &w.value)));
        amount(rows, d, &format!("thermal/{key}/footprint"), a.footprint.as_ref(), &t.ground);
        amount(rows, d, &format!("thermal/{key}/first-check"), a.first_check.as_ref(), &t.ground);
    }
    for (stressor, least) in &t.least {
        amount(rows, d, &format!("least/{}", slug(stressor.value.word())), Some(least), &t.ground);
    }
    let rest = [
        ("set-up", &t.set_up),
        ("monitoring-every", &t.monitoring_every),
        ("recovery", &t.recovery),
        ("after-effects-last", &t.after_effects_last),
    ];
    rest.into_iter().for_each(|(key, q)| amount(rows, d, key, q.as_ref(), &t.ground));
    for rule in &t.order {
        amount(rows, d, &format!("order/{}/gap", super::by_words(&rule.why.value)), rule.gap.as_ref(), &t.ground);
    }
}

fn position(rows: &mut Rows<'_>, d: DocRef, p: &Position) {
    for j in &p.joints {
        amount(rows, d, &format!("joints/{}", j.coordinate.id), Some(&j.angle), &p.ground);
    }
    amount(rows, d, "time-limit", p.time_limit.as_ref(), &p.ground);
}

fn condition(rows: &mut Rows<'_>, d: DocRef, c: &Condition) {
    let alone = c.rules.iter().map(|rule| (String::new(), rule));
    let together = c.together.iter().flat_map(|t| t.rules.iter().map(|rule| (with_path(t) + "/", rule)));
    for (under, rule) in alone.chain(together) {
        for e in &rule.max.entries {
            let DoseValue::Amount(q) = &e.value else { continue };
            let name = format!("{}{} at most, {}", if under.is_empty() { "" } else { "together, " }, rule.stressor.word(), e.name.value);
            put(rows, d, &format!("{under}{}", rule_path(rule, &e.name.value)), &name, q.shown(), e.span, &c.ground);
        }
    }
}

/// Path of what a condition does together with others.
pub(super) fn with_path(together: &Together) -> String {
    let mut with: Vec<&str> = together.with.iter().map(|c| &*c.written.value).collect();
    with.sort_unstable();
    format!("together/{}", with.join("+"))
}

/// Path of a number of a condition's row.
pub(super) fn rule_path(rule: &crate::model::docs::Rule, name: &str) -> String {
    let mut places: Vec<&str> = rule.regions.written.iter().map(|r| &*r.value).collect();
    places.sort_unstable();
    format!("rules/{}/{}/{name}", slug(rule.stressor.word()), slug(&places.join(" ")))
}

fn agreement(rows: &mut Rows<'_>, d: DocRef, under: &str, all: &[Reliability]) {
    for r in all {
        let Some(value) = &r.value else { continue };
        let site = r.site.as_ref().map_or("", |s| &*s.value);
        let path =
            format!("{under}{}/{}", slug(&format!("{} {} {site}", r.kind.word(), r.rater.word())), super::by_words(&r.population.value));
        let shown = if value.value.lo < value.value.hi {
            format!("{} to {}", number(value.value.lo), number(value.value.hi))
        } else {
            number(value.value.hi)
        };
        put(rows, d, &path, &format!("{}, {}, {}", r.kind.word(), r.rater.word(), r.population.value), shown, value.span, &r.ground);
    }
}

fn measure(rows: &mut Rows<'_>, d: DocRef, m: &Measure) {
    agreement(rows, d, "reliability/", &m.reliability);
    for e in &m.errors {
        let site = e.site.as_ref().map_or("", |s| &*s.value);
        let key = super::by_words(&format!("{} {site} {}", e.population.value, e.rater.map_or("", |r| r.word())));
        for (part, q) in [("sd", &e.sd), ("sem", &e.sem), ("mdc", &e.mdc)] {
            let Some(q) = q else { continue };
            put(rows, d, &format!("errors/{key}/{part}"), &format!("{part}, {}", e.population.value), q.value.shown(), q.span, &e.ground);
        }
    }
    for c in &m.meaningful {
        let Some(q) = &c.change else { continue };
        let path =
            format!("meaningful/{}", super::by_words(&format!("{} {}", c.population.value, c.anchor.as_ref().map_or("", |a| &*a.value))));
        put(rows, d, &path, &format!("change that mattered, {}", c.population.value), q.value.shown(), q.span, &c.ground);
    }
}

fn muscle(rows: &mut Rows<'_>, d: DocRef, m: &Muscle) {
    for point in &m.points {
        let n = point.number.value;
        amount(rows, d, &format!("points/{n}/distance"), point.distance.as_ref(), &m.palpation.ground);
        for sign in &point.confirms {
            agreement(rows, d, &format!("points/{n}/{}/", slug(&sign.sign.value)), &sign.reliability);
        }
    }
    for part in &m.mechanics {
        let key = slug(&part.name.value);
        for arm in &part.arms {
            let table: Vec<String> = arm.points.iter().map(|(a, mm)| format!("{}° {} mm", number(*a), number(*mm))).collect();
            put(
                rows,
                d,
                &format!("mechanics/{key}/{}", arm.joint.id),
                &format!("moment arm, {}", arm.joint.id),
                table.join("; "),
                arm.at,
                &part.ground,
            );
        }
        for c in &part.couplings {
            let between = format!("{} and {}", c.between.0.id, c.between.1.id);
            let value = format!("{} mm/rad", number(c.mm_per_rad));
            put(rows, d, &format!("mechanics/{key}/{}", slug(&between)), &format!("coupling, {between}"), value, c.span, &part.ground);
        }
        for (what, n) in [("fibre", &part.fibre), ("error", &part.error)] {
            if let Some(n) = n {
                put(rows, d, &format!("mechanics/{key}/{what}"), &format!("{what}, mm"), number(n.value), n.span, &part.ground);
            }
        }
    }
}

fn protocol(rows: &mut Rows<'_>, idx: Idx<Protocol>, p: &Protocol) {
    let d = doc(Kind::Protocol, idx);
    let house = &rows.catalog.packs[p.head.pack].house_ground;
    amount(rows, d, "appointment", p.appointment.as_ref(), house);
    amount(rows, d, "population/ages", p.population.ages.as_ref(), &SILENT);
    for s in &p.steps {
        let under = format!("steps/{}", s.number.value);
        dose(rows, d, &format!("{under}/dose"), &s.dose, s.technique.to, &s.ground);
        if let Some(goal) = &s.goal {
            amount(rows, d, &format!("{under}/goal"), goal.change.as_ref(), &goal.ground);
        }
        for j in &s.joints {
            amount(rows, d, &format!("{under}/joints/{}", j.coordinate.id), Some(&j.angle), &s.ground);
        }
        if let Some(up_to) = s.then.as_ref().and_then(|b| b.up_to.as_ref()) {
            amount(rows, d, &format!("{under}/then/up-to"), Some(up_to), &s.ground);
        }
    }
    p.home.iter().for_each(|h| home(rows, d, h));
    let s = &p.spacing;
    for (key, q) in [("gap", &s.gap), ("per-week", &s.per_week), ("sessions", &s.sessions), ("decide-after", &s.decide_after)] {
        amount(rows, d, &format!("spacing/{key}"), q.as_ref(), &s.ground);
    }
}

fn home(rows: &mut Rows<'_>, d: DocRef, h: &HomeItem) {
    let under = home_path(h);
    dose(rows, d, &format!("{under}/dose"), &h.dose, h.technique.to, &h.ground);
    for (key, q) in [("per-day", &h.per_day), ("days", &h.days), ("weeks", &h.weeks)] {
        amount(rows, d, &format!("{under}/{key}"), q.as_ref(), &h.ground);
    }
    for j in &h.joints {
        amount(rows, d, &format!("{under}/joints/{}", j.coordinate.id), Some(&j.angle), &h.ground);
    }
}

/// Path of a home item.
pub fn home_path(h: &HomeItem) -> String {
    format!("home/{}", slug(&h.name.value))
}

fn dose(rows: &mut Rows<'_>, d: DocRef, under: &str, dose: &Dose, technique: Option<Idx<Technique>>, ground: &Ground) {
    for e in &dose.entries {
        let DoseValue::Amount(q) = &e.value else { continue };
        let i = put(rows, d, &format!("{under}/{}", e.name.value), &entry_name(under, e), q.shown(), e.span, ground);
        // The technique bounds the number; where the step is silent, what stands there carries it.
        let parameter =
            technique.and_then(|t| rows.find(doc(Kind::Technique, t), RowKind::Number, &format!("parameters/{}", e.name.value)));
        if let (Some(parameter), Some(row)) = (parameter, rows.out.get_mut(i)) {
            row.from.push(parameter);
        }
    }
}

fn entry_name(under: &str, e: &DoseEntry) -> String {
    let of = under.trim_end_matches("/dose").replace('/', " ").replace("steps", "step").replace('-', " ");
    format!("{of}, {}", e.name.value)
}

//! Techniques and positions.

use super::Reader;
use crate::model::docs::{Apparatus, Comes, CoolantSafety, Exposes, Head, OrderRule, Parameter, Position, Technique, Term, Towards};
use crate::model::unit::Dim;
use crate::model::vocabulary::{Cover, Role, Stressor, ThermalSource};
use crate::source::{Node, Spanned};

pub(super) fn technique(r: &mut Reader<'_>, n: &Node, head: Head) -> Technique {
    let monitoring = n.get("monitoring");
    let after = n.get("after-effects");
    let exposes = exposes(r, n);
    Technique {
        name: r.text(n, "name"),
        other_names: r.texts(n, "other-names"),
        aim: r.text(n, "aim"),
        role: Role::from_word(&r.text(n, "role").value).unwrap_or(Role::Treatment),
        parameters: parameters(r, n),
        thermal: thermal(r, n, &exposes),
        sweep: super::chart::sweep_rule(r, n),
        exposes,
        takes: r.items(n, "takes").iter().map(|x| Term { times: r.texts(x, "times"), over: r.texts(x, "over") }).collect(),
        set_up: r.amount(n, "set-up", Dim::Time),
        least: least(r, n),
        contact: r.texts(n, "contact"),
        training: r.text(n, "training"),
        authorisation: r.maybe(n, "authorisation"),
        equipment: r.texts(n, "equipment"),
        allergens: r.maybe(n, "allergens"),
        manner: r.labelled(n, &[("cue", "Words to the person"), ("breathing", "Breathing"), ("body-mechanics", "Your own body")]),
        monitoring: monitoring.and_then(|m| r.maybe(m, "what")),
        monitoring_every: monitoring.and_then(|m| r.amount(m, "every", Dim::Time)),
        start: r.texts(n, "start"),
        stop: r.stop_rules(n),
        order: order(r, n),
        limits: r.limits(n),
        recovery: r.amount(n, "recovery", Dim::Time),
        after_effects: after.and_then(|a| r.maybe(a, "text")),
        after_effects_last: after.and_then(|a| r.amount(a, "lasts", Dim::Time)),
        harms: r.claims(n, "harms"),
        if_wrong: r.text(n, "if-wrong"),
        notes: r.maybe(n, "notes"),
        ground: r.ground(n),
        head,
    }
}

fn exposes(r: &mut Reader<'_>, n: &Node) -> Vec<Exposes> {
    let mut out = Vec::new();
    for x in r.items(n, "exposes") {
        let Some(stressor) = r.stressor(x, "stressor") else { continue };
        let numbs_for = r.amount(x, "numbs-for", Dim::Time);
        out.push(Exposes { stressor: stressor.value, total: r.texts(x, "total"), peak: r.maybe(x, "peak"), numbs_for, span: x.span });
    }
    out
}

fn parameters(r: &mut Reader<'_>, n: &Node) -> Vec<Parameter> {
    let mut out = Vec::new();
    for (name, x) in r.entries(n, "parameters") {
        out.push(Parameter {
            name: name.clone(),
            allowed: r.amount_in(x, "allowed", &[]),
            words: r.texts(x, "words"),
            required: r.flag(x, "required"),
            means: r.maybe(x, "means"),
            ground: r.ground(x),
        });
    }
    out
}

fn thermal(r: &mut Reader<'_>, n: &Node, exposes: &[Exposes]) -> Vec<Apparatus> {
    let agents = n.get("parameters").and_then(|p| p.get("agent")).map(|a| r.texts(a, "words")).unwrap_or_default();
    let mut out = Vec::new();
    for x in r.items(n, "thermal") {
        let written = r.text(x, "source");
        let Some(source) = ThermalSource::from_word(&written.value) else { continue };
        let wanted = if source.is_heat() { Stressor::Heat } else { Stressor::Cold };
        if !exposes.iter().any(|e| e.stressor == wanted) {
            r.unexposed(&written, wanted);
        }
        let cover = r.maybe(x, "cover").and_then(|t| Cover::from_word(&t.value).map(|c| Spanned::new(c, t.span)));
        let agent = r.maybe(x, "agent");
        if let Some(agent) = &agent {
            r.one_of(agent, &agents, "word of the parameter `agent`");
        }
        out.push(Apparatus {
            agent,
            source: Spanned::new(source, written.span),
            cover,
            footprint: r.amount(x, "footprint", Dim::Length),
            first_check: r.amount(x, "first-check", Dim::Time),
            safety: x.get("safety").map(|s| safety(r, s)).unwrap_or_default(),
            span: x.span,
        });
    }
    out
}

fn safety(r: &Reader<'_>, n: &Node) -> CoolantSafety {
    CoolantSafety {
        flammable: r.maybe(n, "flammable"),
        airing: r.maybe(n, "airing"),
        shield: r.maybe(n, "shield"),
        ignition: r.maybe(n, "ignition"),
    }
}

fn least(r: &mut Reader<'_>, n: &Node) -> Vec<(Spanned<Stressor>, crate::model::docs::Amount)> {
    let mut out = Vec::new();
    for (name, value) in r.entries(n, "least") {
        let (Some(stressor), Some(amount)) = (Stressor::from_word(&name.value), r.quantity(value, &name.value, &[])) else { continue };
        out.push((Spanned::new(stressor, name.span), Spanned::new(amount, value.span)));
    }
    out
}

fn order(r: &mut Reader<'_>, n: &Node) -> Vec<OrderRule> {
    let mut out = Vec::new();
    for x in r.items(n, "order") {
        let comes = match &*r.text(x, "comes").value {
            "after" => Comes::After,
            "before" => Comes::Before,
            "only after" => Comes::OnlyAfter,
            _ => Comes::Apart,
        };
        let towards = r
            .maybe_reference(x, "technique")
            .map(Towards::Technique)
            .or_else(|| r.stressor(x, "stressor").map(|s| Towards::Stressor(s.value)));
        let gap = r.amount(x, "gap", Dim::Time);
        out.push(OrderRule { comes, towards, gap, anywhere: r.flag(x, "anywhere"), why: r.text(x, "why"), span: x.span });
    }
    out
}

pub(super) fn position(r: &mut Reader<'_>, n: &Node, head: Head) -> Position {
    Position {
        name: r.text(n, "name"),
        how: r.text(n, "how"),
        joints: r.joints(n, "joints"),
        supports: r.texts(n, "supports"),
        exposed: r.places(n, "exposed"),
        drape: r.text(n, "drape"),
        bears_weight: r.places(n, "bears-weight"),
        barred_by: r.items(n, "barred-by").iter().map(|x| (r.reference(x, "condition"), r.text(x, "why"))).collect(),
        handling: r.labelled(n, &[("get-in", "Getting in"), ("get-out", "Getting out"), ("airway", "Head and airway")]),
        time_limit: r.amount(n, "time-limit", Dim::Time),
        end_range: r.flag(n, "end-range"),
        ground: r.ground(n),
        head,
    }
}

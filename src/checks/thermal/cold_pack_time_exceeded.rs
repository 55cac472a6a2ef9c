//! Cold that rests on one region for too long.

use super::{Warmed, names, warmed};
use crate::checks::{Case, Check, Run, Sink};
use crate::compute::amount::shown;
use crate::compute::ledger::{Cell, Key, Ledger, Origin};
use crate::compute::thermal::apparatus::Way;
use crate::finding::Level;
use crate::model::Idx;
use crate::model::docs::{HouseNumber, Protocol};
use crate::model::interval::{Interval, exceeds};
use crate::model::region::Place;
use crate::model::unit::Dim;
use crate::model::vocabulary::{Per, Stressor};
use crate::source::Span;

/// The check.
pub static CHECK: Check = Check {
    name: "cold-pack-time-exceeded",
    summary: "cold rests on a region for longer than the limit",
    level: Level::Error,
    run: Run::Facts(run),
    page: include_str!("cold_pack_time_exceeded.md"),
};

fn run(case: &Case<'_>, sink: &mut Sink) {
    let all = warmed(case);
    let resting: Vec<&Warmed<'_>> = all.iter().filter(|w| w.way == Way::Resting).collect();
    for step in &resting {
        alone(step, sink);
    }
    for (own, protocol) in case.catalog.protocols.iter() {
        let limit = &case.pack(&protocol.head).thermal.cold_time;
        for sum in sums(&case.facts.of(own).ledger, &resting, limit) {
            report(&sum, sum.last, "added to what came before", limit, sink);
        }
    }
    for (session, facts) in case.catalog.sessions.rows().iter().zip(&case.facts.sessions) {
        let limit = &case.pack(&session.head).thermal.cold_time;
        for sum in sums(&facts.ledger, &resting, limit).into_iter().filter(|s| s.first_protocol != s.last_protocol) {
            let row = session.protocols.iter().rfind(|r| r.to == Some(sum.last_protocol));
            report(&sum, row.map_or(session.title.span, crate::model::Ref::span), "together with the protocols before it", limit, sink);
        }
    }
}

/// One application that is too long by itself.
fn alone(step: &Warmed<'_>, sink: &mut Sink) {
    let (item, limit) = (&step.item, &step.house().cold_time);
    let Some(time) = step.lasts().filter(|t| exceeds(*t, limit.value)) else { return };
    // A technique that allows less says so by itself.
    let given = item.dose.amount("time").map(|q| q.base().hi);
    let allowed = item.technique.parameter("time").and_then(|p| p.allowed.as_ref()).map(|a| a.value.base().hi);
    if matches!((given, allowed), (Some(g), Some(a)) if exceeds(g, a) && !exceeds(a, limit.value)) {
        return;
    }
    let time = shown(Dim::Time, Interval::exact(time));
    let message = format!("{} leaves cold on the skin for up to {time}, and {} is {}", item.name, limit.whose(), limit.shown());
    let finding = sink.report(item.entry_at("time"), format!("up to {time}"), message);
    if let Some(at) = limit.stated {
        finding.also(at, "the house limit");
    }
    finding.help(format!("take it away after {} at most", limit.shown()));
}

/// Applications that together are too long on the same places.
struct Sum {
    places: Vec<Place>,
    steps: Vec<Span>,
    last: Span,
    first_protocol: Idx<Protocol>,
    last_protocol: Idx<Protocol>,
    total: f64,
}

fn sums(ledger: &Ledger, resting: &[&Warmed<'_>], limit: &HouseNumber) -> Vec<Sum> {
    let mut out: Vec<Sum> = Vec::new();
    for cell in ledger.cells.iter().filter(|c| c.stressor == Stressor::Cold && !told_elsewhere(c, limit.value)) {
        let Key::Skin(region, side) = cell.key else { continue };
        let steps = cell.parts.iter().filter(|p| matches!(p.origin, Origin::Step(_)));
        let parts: Vec<_> = steps.filter_map(|p| Some((p, resting.iter().find(|w| w.item.at == p.at)?.lasts()?))).collect();
        let total: f64 = parts.iter().map(|(_, t)| t).sum();
        let longest = parts.iter().map(|(_, t)| *t).fold(0.0, f64::max);
        let (Some((first, _)), Some((last, _))) = (parts.first(), parts.last()) else { continue };
        if !exceeds(total, limit.value) || exceeds(longest, limit.value) {
            continue;
        }
        let (place, spans) = (Place { region, side }, parts.iter().map(|(p, _)| p.at).collect::<Vec<_>>());
        match out.iter_mut().find(|s| s.steps == spans) {
            Some(sum) => sum.places.push(place),
            None => out.push(Sum {
                places: vec![place],
                steps: spans,
                last: last.at,
                first_protocol: first.protocol,
                last_protocol: last.protocol,
                total,
            }),
        }
    }
    out
}

/// True if a limit of the ledger that is no higher is passed as well: that is told as a total.
fn told_elsewhere(cell: &Cell, limit: f64) -> bool {
    cell.dim == Dim::Time && cell.exceeded().any(|b| b.per == Per::Session && !exceeds(b.max, limit))
}

fn report(sum: &Sum, at: Span, label: &str, limit: &HouseNumber, sink: &mut Sink) {
    let total = shown(Dim::Time, Interval::exact(sum.total));
    let message = format!("cold rests on {} for up to {total} in all, and {} is {}", names(&sum.places), limit.whose(), limit.shown());
    let finding = sink.report(at, label, message);
    for step in sum.steps.iter().filter(|s| **s != at) {
        finding.also(*step, "cold on the same skin");
    }
    if let Some(at) = limit.stated {
        finding.also(at, "the house limit");
    }
    finding.help("shorten the applications, or leave one out");
}

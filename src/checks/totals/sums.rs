//! Totals against limits: which cells of the ledger pass one, and how that is told.

use crate::checks::dose::item::inside;
use crate::checks::{Case, Sink};
use crate::compute::amount::shown;
use crate::compute::ledger::{Bound, Cell, Key, Ledger, Origin, Part};
use crate::finding::Finding;
use crate::model::Idx;
use crate::model::docs::{Protocol, Session};
use crate::model::interval::{Interval, exceeds};
use crate::model::vocabulary::Per;

/// What a check of totals looks for.
pub struct Wanted {
    /// Which limits of which cells.
    pub limits: fn(&Cell, &Bound) -> bool,
    /// Is this worst case a fault under this limit?
    pub at_fault: fn(f64, f64) -> bool,
    /// Headline of the total, with the best case, worst case and limit filled in.
    pub verdict: fn(&Told) -> String,
    /// What to type.
    pub help: fn(&Told) -> String,
}

/// Words for one passed limit.
pub struct Told {
    /// "cold on calf, inner half".
    pub what: String,
    /// Best case.
    pub best: String,
    /// Worst case.
    pub worst: String,
    /// The limit.
    pub limit: String,
    /// What the worst case is above it, or below it.
    pub apart: String,
    /// "a session", "a week".
    pub per: &'static str,
}

/// Cells that share steps, total and limit: one mistake.
struct Group<'a> {
    cells: Vec<&'a Cell>,
    bound: &'a Bound,
    others: Vec<&'a Bound>,
}

/// The worst case passes the limit.
pub fn over(worst: f64, limit: f64) -> bool {
    worst.is_finite() && exceeds(worst, limit)
}

/// Runs a check over all protocols and all sessions.
pub fn run(case: &Case<'_>, sink: &mut Sink, wanted: &Wanted) {
    for (own, _) in case.catalog.protocols.iter() {
        for group in groups(&case.facts.of(own).ledger, wanted) {
            in_protocol(case, &group, wanted, sink);
        }
    }
    for (session, facts) in case.catalog.sessions.rows().iter().zip(&case.facts.sessions) {
        for group in groups(&facts.ledger, wanted) {
            if !in_one_of(case, session, &group, wanted) {
                in_session(case, session, &group, wanted, sink);
            }
        }
    }
}

fn groups<'a>(ledger: &'a Ledger, wanted: &Wanted) -> Vec<Group<'a>> {
    let mut out: Vec<Group<'a>> = Vec::new();
    for cell in &ledger.cells {
        let mut hits: Vec<&Bound> =
            cell.bounds.iter().filter(|b| (wanted.limits)(cell, b) && (wanted.at_fault)(cell.total(b.per).hi, b.max)).collect();
        hits.sort_by(|a, b| a.max.total_cmp(&b.max));
        let Some((bound, others)) = hits.split_first() else { continue };
        match out.iter_mut().find(|g| g.bound.at == bound.at && g.cells.iter().all(|c| same(c, cell))) {
            Some(group) => group.cells.push(cell),
            None => out.push(Group { cells: vec![cell], bound, others: others.to_vec() }),
        }
    }
    out
}

fn same(a: &Cell, b: &Cell) -> bool {
    let parts = |c: &Cell| c.parts.iter().map(|p| (p.protocol, p.at)).collect::<Vec<_>>();
    (a.stressor, a.dim) == (b.stressor, b.dim) && parts(a) == parts(b)
}

/// True if a protocol of the session is at fault by itself; it is told there.
fn in_one_of(case: &Case<'_>, session: &Session, group: &Group<'_>, wanted: &Wanted) -> bool {
    session.protocols.iter().filter_map(|r| r.to).any(|p| {
        let own = case.facts.of(p).ledger.cells.iter();
        own.filter(|c| group.cells.iter().any(|g| (g.key, g.stressor, g.dim) == (c.key, c.stressor, c.dim)))
            .any(|c| (wanted.at_fault)(c.total(group.bound.per).hi, group.bound.max))
    })
}

fn in_protocol(case: &Case<'_>, group: &Group<'_>, wanted: &Wanted, sink: &mut Sink) {
    let Some(cell) = group.cells.first() else { return };
    let Some(tip) = tipping(case, cell, group.bound) else { return };
    let told = told(case, group, cell);
    let finding = sink.report(tip.at, adds(case, cell, tip, group.bound.per), (wanted.verdict)(&told));
    for part in counted(cell, group.bound.per).filter(|p| p.at != tip.at) {
        finding.also(part.at, adds(case, cell, part, group.bound.per));
    }
    finish(finding, group, &told, wanted);
}

fn in_session(case: &Case<'_>, session: &Session, group: &Group<'_>, wanted: &Wanted, sink: &mut Sink) {
    let Some(cell) = group.cells.first() else { return };
    let Some(tip) = tipping(case, cell, group.bound) else { return };
    let told = told(case, group, cell);
    let at = session.protocols.iter().rfind(|r| r.to == Some(tip.protocol)).map_or(session.title.span, crate::model::Ref::span);
    let finding = sink.report(at, "together with the protocols before it", (wanted.verdict)(&told));
    for part in counted(cell, group.bound.per) {
        finding.also(part.at, adds(case, cell, part, group.bound.per));
    }
    finish(finding, group, &told, wanted);
}

fn finish(finding: &mut Finding, group: &Group<'_>, told: &Told, wanted: &Wanted) {
    let whose = |b: &Bound| if b.house { "of the house" } else { "of a technique" };
    finding.also(group.bound.at, format!("the limit {}", whose(group.bound)));
    for other in &group.others {
        finding.also(other.at, format!("a limit {} as well", whose(other)));
    }
    finding.help((wanted.help)(told));
}

/// Parts that count towards a limit: home items count in a week only.
fn counted(cell: &Cell, per: Per) -> impl Iterator<Item = &Part> {
    cell.parts.iter().filter(move |p| per == Per::Week || matches!(p.origin, Origin::Step(_)))
}

/// The part with which the worst case passes the limit; the last one if none does.
fn tipping<'a>(case: &Case<'_>, cell: &'a Cell, bound: &Bound) -> Option<&'a Part> {
    let mut sum = 0.0;
    let tip = counted(cell, bound.per).find(|part| {
        sum += in_period(case, part, bound.per).hi;
        exceeds(sum, bound.max)
    });
    tip.or_else(|| counted(cell, bound.per).last())
}

/// What a part adds in a session, or in a week.
fn in_period(case: &Case<'_>, part: &Part, per: Per) -> Interval {
    let spacing = &case.catalog.protocols[part.protocol].spacing;
    match (part.origin, per) {
        (Origin::Step(_), Per::Week) => part.amount * spacing.per_week.as_ref().map_or(Interval::exact(1.0), |q| q.value.base()),
        _ => part.amount,
    }
}

fn adds(case: &Case<'_>, cell: &Cell, part: &Part, per: Per) -> String {
    let amount = shown(cell.dim, in_period(case, part, per));
    let week = if per == Per::Week { " a week" } else { "" };
    match part.origin {
        Origin::Step(i) => format!("{} adds {amount}{week}", step_name(case, part.protocol, i)),
        Origin::Home(_) => format!("this home item adds {amount} a week"),
    }
}

fn step_name(case: &Case<'_>, protocol: Idx<Protocol>, row: usize) -> String {
    case.catalog.protocols[protocol].steps.get(row).map_or_else(String::new, |s| format!("step {}", s.number.value))
}

fn told(case: &Case<'_>, group: &Group<'_>, cell: &Cell) -> Told {
    let (total, max) = (cell.total(group.bound.per), group.bound.max);
    let one = |amount: f64| shown(cell.dim, Interval::exact(amount));
    let places: Vec<String> = group.cells.iter().map(|c| inside(&c.key.shown(case.catalog))).collect();
    let of = if matches!(cell.key, Key::Muscle(_)) { "of" } else { "on" };
    Told {
        what: format!("{} {of} {}", cell.stressor.word(), places.join(" and ")),
        best: one(total.lo),
        worst: one(total.hi),
        limit: one(max),
        apart: one((total.hi - max).abs()),
        per: if group.bound.per == Per::Week { "a week" } else { "a session" },
    }
}

/// The headline that all checks of passed limits share.
pub fn passed(told: &Told) -> String {
    format!("{} adds up to {} at best and {} at worst, and the limit is {} {}", told.what, told.best, told.worst, told.limit, told.per)
}

/// What to do about a passed limit.
pub fn lower(told: &Told) -> String {
    format!("take {} out of the worst case: lower the high end of a range, or leave a step out", told.apart)
}

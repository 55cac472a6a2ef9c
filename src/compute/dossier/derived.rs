//! Rows of what was derived: totals with the doses and limits behind them, times, cautions and red flags.

use super::numbers::{home_path, rule_path, with_path};
use super::{RowKind, Rows, SILENT, Said, doc, slug};
use crate::compute::ProtocolFacts;
use crate::compute::amount::shown;
use crate::compute::cautions::Hit;
use crate::compute::ledger::{Cell, Key, Origin};
use crate::compute::steps::StepFacts;
use crate::compute::together::Combination;
use crate::model::docs::{Condition, HomeItem, Protocol, Rule};
use crate::model::interval::Interval;
use crate::model::region::regions;
use crate::model::unit::Dim;
use crate::model::vocabulary::{Per, Stressor};
use crate::model::{Catalog, DocRef, Idx, Kind};
use crate::source::Span;

pub(super) fn gather(rows: &mut Rows<'_>, protocols: &[ProtocolFacts]) {
    for ((idx, protocol), facts) in rows.catalog.protocols.iter().zip(protocols) {
        let d = doc(Kind::Protocol, idx);
        for (s, f) in protocol.steps.iter().zip(&facts.steps) {
            step(rows, d, &format!("steps/{}", s.number.value), &format!("step {}", s.number.value), s.span, f);
        }
        for (h, f) in protocol.home.iter().zip(&facts.home) {
            step(rows, d, &home_path(h), &format!("at home, {}", h.name.value), h.span, f);
        }
        facts.ledger.cells.iter().for_each(|c| cell(rows, idx, protocol, c));
        time(rows, d, protocol, facts);
        cautions(rows, d, facts);
        flags(rows, d, facts);
    }
}

/// Rows of numbers under a path.
fn under(rows: &Rows<'_>, d: DocRef, path: &str) -> Vec<usize> {
    let prefix = format!("{path}/");
    let first = (d, RowKind::Number, prefix.clone());
    rows.by_path
        .range(first..)
        .take_while(|((at, kind, p), _)| *at == d && *kind == RowKind::Number && p.starts_with(&prefix))
        .map(|(_, i)| *i)
        .collect()
}

fn computed(rows: &mut Rows<'_>, d: DocRef, path: &str, name: String, value: String, at: Span, from: Vec<usize>) {
    let i = rows.add(RowKind::Computed, d, path, Said { name, value, at, ground: &SILENT });
    if let Some(row) = rows.out.get_mut(i) {
        row.from = from;
    }
}

fn step(rows: &mut Rows<'_>, d: DocRef, path: &str, name: &str, at: Span, f: &StepFacts) {
    let doses = under(rows, d, &format!("{path}/dose"));
    if let Some(duration) = f.duration {
        computed(rows, d, &format!("{path}/time"), format!("{name}, time"), shown(Dim::Time, duration), at, doses.clone());
    }
    if let Some(thermal) = &f.thermal {
        let (worst, heat) = (thermal.exposure.worst(), thermal.exposure.scenario.is_heat());
        let (what, peak) = if heat { ("warmest", worst.skin_max) } else { ("coldest", worst.skin_min) };
        let value = shown(Dim::Temperature, Interval::exact((peak * 10.0).round() / 10.0));
        let mut from = doses.clone();
        if let Some(t) = f.technique {
            from.extend(under(rows, doc(Kind::Technique, t), "thermal"));
        }
        computed(rows, d, &format!("{path}/skin"), format!("{name}, {what} skin in the model"), value, at, from);
    }
    if let Some(longest) = f.stretch.as_ref().and_then(|s| s.longest()) {
        let mut from = under(rows, d, &format!("{path}/joints"));
        from.extend(f.position.map(|p| under(rows, doc(Kind::Position, p), "joints")).unwrap_or_default());
        from.extend(f.muscle.map(|m| under(rows, doc(Kind::Muscle, m), "mechanics")).unwrap_or_default());
        computed(
            rows,
            d,
            &format!("{path}/stretch"),
            format!("{name}, longest part in the model"),
            crate::compute::amount::millimetres(longest.change.total),
            at,
            from,
        );
    }
}

/// Path of a total of a protocol.
pub fn total_path(catalog: &Catalog, cell: &Cell, per: Per) -> String {
    let key = match cell.key {
        Key::Skin(region, side) => format!("skin-{}-{side:?}", regions().get(region).id).to_lowercase(),
        Key::Point(muscle, n) => format!("point-{}-{n}", catalog.muscles[muscle].head.id.value),
        Key::Muscle(muscle) => format!("muscle-{}", catalog.muscles[muscle].head.id.value),
    };
    format!("ledger/{key}/{}/{}/{}", slug(cell.stressor.word()), slug(cell.dim.word()), if per == Per::Week { "week" } else { "session" })
}

fn cell(rows: &mut Rows<'_>, idx: Idx<Protocol>, protocol: &Protocol, cell: &Cell) {
    let d = doc(Kind::Protocol, idx);
    for per in [Per::Session, Per::Week] {
        let total = cell.total(per);
        if total.hi <= 0.0 {
            continue;
        }
        let mut from = Vec::new();
        for part in &cell.parts {
            match part.origin {
                Origin::Step(i) => from
                    .extend(protocol.steps.get(i).map(|s| under(rows, d, &format!("steps/{}/dose", s.number.value))).unwrap_or_default()),
                Origin::Home(i) if per == Per::Week => from.extend(protocol.home.get(i).map(|h| of_home(rows, d, h)).unwrap_or_default()),
                Origin::Home(_) => {}
            }
        }
        if per == Per::Week {
            from.extend(rows.find(d, RowKind::Number, "spacing/per-week"));
        }
        let limits: Vec<Span> = cell.bounds.iter().filter(|b| (b.per == Per::Week) == (per == Per::Week)).map(|b| b.at).collect();
        from.extend(rows.out.iter().enumerate().filter(|(_, r)| r.kind == RowKind::Number && limits.contains(&r.at)).map(|(i, _)| i));
        from.sort_unstable();
        from.dedup();
        let over = if per == Per::Week { "week" } else { "session" };
        let name = format!("{} in one {over}, {}", cell.stressor.word(), cell.key.shown(rows.catalog));
        let value = if total.hi.is_finite() { shown(cell.dim, total) } else { "no upper end".into() };
        let at = cell.parts.first().map_or(protocol.head.at, |p| p.at);
        computed(rows, d, &total_path(rows.catalog, cell, per), name, value, at, from);
    }
}

fn of_home(rows: &Rows<'_>, d: DocRef, item: &HomeItem) -> Vec<usize> {
    under(rows, d, &home_path(item))
}

fn time(rows: &mut Rows<'_>, d: DocRef, protocol: &Protocol, facts: &ProtocolFacts) {
    let mut from: Vec<usize> = protocol.steps.iter().flat_map(|s| under(rows, d, &format!("steps/{}/dose", s.number.value))).collect();
    let pack = doc(Kind::Pack, protocol.head.pack);
    from.extend(["house/turn", "house/notes"].iter().filter_map(|p| rows.find(pack, RowKind::Number, p)));
    computed(rows, d, "time", "whole time".into(), shown(Dim::Time, facts.timeline.total), protocol.head.at, from);
}

/// Path of a caution of a protocol.
pub fn caution_path(condition: &str, stressor: Stressor) -> String {
    format!("cautions/{condition}/{}", slug(stressor.word()))
}

/// Path of a red flag of a protocol.
pub fn flag_path(flag: &str) -> String {
    format!("flags/{flag}")
}

/// Path of what a combination does in a protocol.
pub fn combination_path(catalog: &Catalog, combination: &Combination, stressor: Stressor) -> String {
    let condition = &catalog.conditions[combination.condition].head.id.value;
    let with = combination.written(catalog).map(with_path).unwrap_or_default();
    caution_path(&format!("{condition}/{with}"), stressor)
}

fn cautions(rows: &mut Rows<'_>, d: DocRef, facts: &ProtocolFacts) {
    let catalog = rows.catalog;
    for caution in &facts.cautions {
        let condition = &catalog.conditions[caution.condition];
        let matrix = Matrix { condition: caution.condition, name: condition.name.value.to_string(), under: "", rules: &condition.rules };
        let path = |s| caution_path(&condition.head.id.value, s);
        of_matrix(rows, d, &matrix, &caution.hits, path);
    }
    for c in &facts.combinations {
        let Some(written) = c.written(catalog) else { continue };
        let name = |idx: &Idx<Condition>| catalog.conditions[*idx].name.value.to_string();
        let others: Vec<String> = c.others.iter().map(name).collect();
        let name = format!("{} together with {}", name(&c.condition), others.join(", or "));
        let under = with_path(written) + "/";
        let matrix = Matrix { condition: c.condition, name, under: &under, rules: &written.rules };
        of_matrix(rows, d, &matrix, &c.hits, |s| combination_path(catalog, c, s));
    }
}

/// Rows of a condition, or of what it does together with others.
struct Matrix<'a> {
    condition: Idx<Condition>,
    name: String,
    /// Path of its numbers.
    under: &'a str,
    rules: &'a [Rule],
}

fn of_matrix(rows: &mut Rows<'_>, d: DocRef, matrix: &Matrix<'_>, hits: &[Hit], path: impl Fn(Stressor) -> String) {
    let condition = &rows.catalog.conditions[matrix.condition];
    let mut seen = Vec::new();
    for hit in hits {
        if seen.contains(&hit.stressor) {
            continue;
        }
        seen.push(hit.stressor);
        let all = || hits.iter().filter(|h| h.stressor == hit.stressor);
        let strongest = all().map(|h| h.strength).min().unwrap_or(hit.strength);
        let said = Said {
            name: format!("{}, {}", matrix.name, hit.stressor.word()),
            value: strongest.word().to_string(),
            at: matrix.rules.get(hit.rule).map_or(condition.rules_at, |r| r.span),
            ground: &condition.ground,
        };
        let i = rows.add(RowKind::Caution, d, &path(hit.stressor), said);
        let numbers: Vec<usize> = all()
            .filter_map(|h| matrix.rules.get(h.rule))
            .flat_map(|r| r.max.entries.iter().map(move |e| rule_path(r, &e.name.value)))
            .filter_map(|p| rows.find(doc(Kind::Condition, matrix.condition), RowKind::Number, &format!("{}{p}", matrix.under)))
            .collect();
        if let Some(row) = rows.out.get_mut(i) {
            row.from = numbers;
            row.from.dedup();
        }
    }
}

fn flags(rows: &mut Rows<'_>, d: DocRef, facts: &ProtocolFacts) {
    for derived in &facts.flags.flags {
        let flag = &rows.catalog.flags[derived.flag];
        let clock = flag.urgency.map_or("no clock", crate::model::vocabulary::Urgency::clock);
        let to = flag.destination.as_ref().map_or("no destination", |t| &*t.value);
        let said = Said {
            name: flag.name.value.to_string(),
            value: format!("{}, {clock}: {to}", flag.urgency_written.value),
            at: flag.urgency_written.span,
            ground: &flag.ground,
        };
        rows.add(RowKind::Flag, d, &flag_path(&flag.head.id.value), said);
    }
}

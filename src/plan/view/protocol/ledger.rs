//! The dose ledger as rows and bars.

use crate::compute::ledger::{Cell, Ledger, Origin};
use crate::model::interval::exceeds;
use crate::model::vocabulary::Per;
use crate::model::{Catalog, Idx};
use crate::plan::view::parts::{Bar, LedgerRow};
use crate::plan::words;

/// Rows of a ledger: one for each cell and limit, or one for the session where no limit holds.
pub fn rows(catalog: &Catalog, ledger: &Ledger, many: bool, trace: &dyn Fn(&Cell, Per) -> Option<String>) -> Vec<LedgerRow> {
    let mut out = Vec::new();
    for cell in &ledger.cells {
        let mut bounds: Vec<(Per, f64, bool)> = cell.bounds.iter().map(|b| (b.per, b.max, b.house)).collect();
        bounds.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        bounds.dedup_by(|a, b| a.0 == b.0);
        for bound in &bounds {
            out.push(LedgerRow { trace: trace(cell, bound.0), ..row(catalog, cell, bound.0, Some((bound.1, bound.2)), many) });
        }
        let has = |per: Per| bounds.iter().any(|b| b.0 == per);
        if !has(Per::Session) && !has(Per::Point) && cell.session.hi > 0.0 {
            out.push(LedgerRow { trace: trace(cell, Per::Session), ..row(catalog, cell, Per::Session, None, many) });
        }
        if !has(Per::Week) && cell.session.hi <= 0.0 {
            out.push(LedgerRow { trace: trace(cell, Per::Week), ..row(catalog, cell, Per::Week, None, many) });
        }
    }
    out.sort_by_key(|r| r.bar.is_none());
    out
}

fn row(catalog: &Catalog, cell: &Cell, per: Per, bound: Option<(f64, bool)>, many: bool) -> LedgerRow {
    let total = cell.total(per);
    let reach = bound.map_or(total.hi, |(max, _)| total.hi.max(max));
    // One unit for the whole row: seconds up to five minutes.
    let show = |x: f64| words::amount(cell.dim, crate::model::interval::Interval::exact(x), if reach > 300.0 { reach } else { 0.0 });
    LedgerRow {
        place: cell.key.shown(catalog),
        stressor: cell.stressor.word(),
        over: if per == Per::Week { "week" } else { "session" },
        best: show(total.lo),
        worst: if total.hi.is_finite() { show(total.hi) } else { "no upper end".into() },
        limit: bound.map(|(max, _)| show(max)),
        whose: if bound.is_some_and(|(_, house)| house) { "house" } else { "technique" },
        steps: parts(catalog, cell, per, many),
        bar: bound.map(|(max, _)| bar(total.lo, total.hi, max)),
        trace: None,
        over_limit: bound.is_some_and(|(max, _)| exceeds(total.hi, max)),
    }
}

/// A bar on a scale of 100, on which the larger of limit and worst case takes 90.
fn bar(best: f64, worst: f64, limit: f64) -> Bar {
    let worst = if worst.is_finite() { worst } else { limit * 1.1 };
    let scale = worst.max(limit).max(f64::MIN_POSITIVE);
    let place = |x: f64| (x / scale * 900.0).round() / 10.0;
    Bar { best: place(best), worst: place(worst), limit: place(limit) }
}

fn parts(catalog: &Catalog, cell: &Cell, per: Per, many: bool) -> String {
    let mut protocols: Vec<Idx<_>> = cell.parts.iter().map(|p| p.protocol).collect();
    protocols.sort_unstable();
    protocols.dedup();
    let mut out = Vec::new();
    for protocol in protocols {
        let doc = &catalog.protocols[protocol];
        let (mut steps, mut home) = (Vec::new(), Vec::new());
        for part in cell.parts.iter().filter(|p| p.protocol == protocol) {
            match part.origin {
                Origin::Step(i) => steps.extend(doc.steps.get(i).map(|s| s.number.value.to_string())),
                Origin::Home(i) if per == Per::Week => home.push((i + 1).to_string()),
                Origin::Home(_) => {}
            }
        }
        let words = [words::numbered("step", "steps", &steps), words::numbered("home item", "home items", &home)];
        let words = words.into_iter().filter(|w| !w.is_empty()).collect::<Vec<_>>().join("; ");
        // The muscle is shorter than the title and says as much beside the list of protocols.
        let name = doc.muscle.to.map_or(&doc.title.value, |m| &catalog.muscles[m].name.value);
        out.push(if many { format!("{name}: {words}") } else { words });
    }
    out.join("; ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_larger_of_limit_and_worst_case_takes_nine_tenths() {
        assert_eq!(bar(5.0, 7.0, 6.0), Bar { best: 64.3, worst: 90.0, limit: 77.1 });
        assert!((bar(1.0, f64::INFINITY, 6.0).limit - 81.8).abs() < 1e-9);
    }
}

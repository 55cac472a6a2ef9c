//! Totals of the ledger on two sides.

use super::Line;
use super::change::Topic;
use super::fields::{Judge, Rule};
use super::judge::About;
use super::show::Amount;
use crate::compute::currency::derived::{Derived, Total};
use crate::model::interval::exceeds;
use crate::model::region::regions;
use crate::model::unit::Dim;
use crate::model::vocabulary::Per;
use std::collections::BTreeMap;

/// Totals whose worst case moved, places with the same line together. An amount that left one place and turned up
/// unchanged at another is no rise: the change of target has its own line, and a point or muscle may only be called
/// something else.
pub(super) fn compare(old: &Derived, new: &Derived, retargeted: bool) -> Vec<Line> {
    let mut both: BTreeMap<_, (Option<&Total>, Option<&Total>)> = BTreeMap::new();
    for total in &old.totals {
        both.entry(key(total)).or_default().0 = Some(total);
    }
    for total in &new.totals {
        both.entry(key(total)).or_default().1 = Some(total);
    }
    let mut rows: Vec<(Option<&Total>, Option<&Total>)> = both.into_values().collect();
    drop_moved(&mut rows, retargeted);
    let mut out: Vec<(Line, Vec<String>)> = Vec::new();
    for (a, b) in rows {
        let Some(any) = a.or(b) else { continue };
        if a.zip(b).is_some_and(|(a, b)| same(a.most, b.most)) {
            continue;
        }
        // What was not there was nothing.
        let nothing = Amount::of(&any.dim, Some(0.0), Some(0.0));
        let (x, y) = (a.map_or(nothing, amount), b.map_or(nothing, amount));
        let line = Line::of_amounts(Rule { topic: Topic::Total, judge: Judge::Up }, About::default(), Some(x), Some(y));
        let path = format!("{} {}", any.stressor.word(), if any.per == Per::Week { "in a week" } else { "in a session" });
        let line = Line { path, ..line };
        match out.iter_mut().find(|(l, _)| l.path == line.path && l.says(&line)) {
            Some((_, places)) => places.push(any.place.clone()),
            None => out.push((line, vec![any.place.clone()])),
        }
    }
    let mut lines: Vec<Line> =
        out.into_iter().map(|(l, places)| Line { path: format!("{}: {}", l.path, places.join(", ")), ..l }).collect();
    if !old.steps.is_empty() && !new.steps.is_empty() && !same(old.seconds.1, new.seconds.1) {
        let time = |d: &Derived| Some(Amount::of(Dim::Time.word(), Some(d.seconds.0), d.seconds.1));
        let line = Line::of_amounts(Rule { topic: Topic::Note, judge: Judge::Said }, About::default(), time(old), time(new));
        lines.push(Line { path: "time from the first step to the last".into(), ..line });
    }
    lines
}

type Key<'a> = (&'a str, crate::model::vocabulary::Stressor, &'a str, Per);

fn key(total: &Total) -> Key<'_> {
    (&total.place, total.stressor, &total.dim, total.per)
}

fn amount(total: &Total) -> Amount {
    Amount::of(&total.dim, Some(total.least), total.most)
}

fn same(a: Option<f64>, b: Option<f64>) -> bool {
    let (a, b) = (a.unwrap_or(f64::INFINITY), b.unwrap_or(f64::INFINITY));
    !exceeds(a, b) && !exceeds(b, a)
}

fn drop_moved(rows: &mut Vec<(Option<&Total>, Option<&Total>)>, retargeted: bool) {
    let gone: Vec<&Total> = rows.iter().filter(|(_, b)| b.is_none()).filter_map(|(a, _)| *a).collect();
    for total in gone {
        let twin = |(a, b): &(Option<&Total>, Option<&Total>)| {
            let like = |b: &Total| (b.stressor, &b.dim, b.per) == (total.stressor, &total.dim, total.per) && same(b.most, total.most);
            let place = |b: &Total| retargeted || !(is_skin(&total.place) || is_skin(&b.place));
            a.is_none() && b.is_some_and(|b| like(b) && place(b))
        };
        if let Some(at) = rows.iter().position(twin) {
            rows.remove(at);
            rows.retain(|(a, b)| !(b.is_none() && *a == Some(total)));
        }
    }
}

fn is_skin(place: &str) -> bool {
    let name = place.split(',').next().unwrap_or(place);
    regions().ids().any(|id| regions().get(id).name == name)
}

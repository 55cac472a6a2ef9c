//! What comes before what: stressors that meet on one region, and safeguards that must come before exposure.

use super::change::{Topic, Way};
use super::judge::Verdict;
use super::pairs::{Pair, reordered};
use super::{Line, cells};
use crate::compute::currency::derived::StepState;
use crate::model::vocabulary::{Role, Stressor};
use std::collections::{BTreeMap, BTreeSet};

/// Two stressors one after the other, and the places on which they meet.
type Meetings = BTreeMap<(Stressor, Stressor), BTreeSet<String>>;

/// Lines about order. `pairs` are those of steps without home items.
pub(super) fn compare(old: &[&StepState], new: &[&StepState], pairs: &[Pair]) -> Vec<Line> {
    let steps = |all: &[&StepState], pick: fn(&Pair) -> Option<usize>| {
        let mut rows: Vec<usize> = pairs.iter().filter_map(pick).collect();
        rows.sort_unstable();
        rows.into_iter().filter_map(|i| all.get(i).map(|s| (*s).clone())).collect::<Vec<_>>()
    };
    let (a, b) = (steps(old, |p| p.0), steps(new, |p| p.1));
    let mut lines = meetings(&a, &b);
    lines.extend(safeguards(&a, &b, pairs));
    if lines.is_empty() && reordered(pairs) {
        let number = |i: usize| a.get(i).map(|s| s.shown.clone());
        let now: Vec<String> = pairs.iter().filter(|p| p.1.is_some()).filter_map(|p| number(p.0?)).collect();
        let was: Vec<String> = (0..a.len()).filter(|i| pairs.iter().any(|p| p.0 == Some(*i) && p.1.is_some())).filter_map(number).collect();
        let verdict = Verdict { topic: Topic::Method, way: Way::Different, ratio: None };
        lines.push(Line::new(verdict, "order of the steps", Some(was.join(", ")), Some(now.join(", "))));
    }
    lines
}

/// Pairs of stressors that follow each other on a place where they did not, unless the place itself is new and they
/// already follow each other elsewhere: that is a change of target.
fn meetings(old: &[StepState], new: &[StepState]) -> Vec<Line> {
    let (before, after) = (met(old), met(new));
    let touched: BTreeSet<&String> = old.iter().filter(|s| !s.loads.is_empty()).flat_map(|s| &s.target).collect();
    let mut out = Vec::new();
    for ((first, second), places) in &after {
        let was = before.get(&(*first, *second));
        let fresh = |p: &&String| was.is_none_or(|w| !w.contains(*p) && touched.contains(p));
        let fresh: Vec<&String> = places.iter().filter(fresh).collect();
        if fresh.is_empty() {
            continue;
        }
        let turned = before.get(&(*second, *first)).is_some_and(|w| fresh.iter().all(|p| w.contains(*p)));
        let say = |a: &Stressor, b: &Stressor| format!("{}, then {}", a.word(), b.word());
        let on = fresh.iter().map(|p| p.as_str()).collect::<Vec<_>>().join(", ");
        let verdict = Verdict { topic: Topic::Order, way: Way::Different, ratio: None };
        let line = Line::new(verdict, format!("order on {on}"), turned.then(|| say(second, first)), Some(say(first, second)));
        out.push(line);
    }
    out
}

fn met(steps: &[StepState]) -> Meetings {
    let mut out = Meetings::new();
    for (i, first) in steps.iter().enumerate() {
        for second in steps.iter().skip(i + 1) {
            let shared = first.target.iter().filter(|p| second.target.contains(p));
            for place in shared {
                for (a, _) in &first.loads {
                    for (b, _) in second.loads.iter().filter(|(b, _)| b != a) {
                        out.entry((*a, *b)).or_default().insert(place.clone());
                    }
                }
            }
        }
    }
    out
}

/// Consent, screening and tests that came before a step that loads the body and now come after it, and back.
fn safeguards(old: &[StepState], new: &[StepState], pairs: &[Pair]) -> Vec<Line> {
    let both: Vec<(usize, usize)> = pairs.iter().filter_map(|(i, j)| Some(((*i)?, (*j)?))).collect();
    let mut out = Vec::new();
    for (i, j) in &both {
        let Some(step) = new.get(*j) else { continue };
        let topic = match step.role {
            Some(Role::Consent) => Topic::Consent,
            Some(Role::Screening) => Topic::Screening,
            Some(Role::SensationTest) => Topic::SensationTest,
            _ => continue,
        };
        let loads = |all: &[StepState], row: usize| all.get(row).is_some_and(|s| !s.loads.is_empty());
        for way in [Way::Looser, Way::Tighter] {
            let passed = both.iter().filter(|(k, l)| loads(old, *k) && loads(new, *l));
            let passed = passed.filter(|(k, l)| if way == Way::Looser { i < k && j > l } else { i > k && j < l });
            let labels: Vec<String> = passed.filter_map(|(_, l)| new.get(*l).map(cells::label)).collect();
            if labels.is_empty() {
                continue;
            }
            let (was, now) = if way == Way::Looser { ("before", "after") } else { ("after", "before") };
            let role = step.role.map(Role::word).unwrap_or_default();
            let path = format!("{} ({role}), order", cells::label(step));
            let say = |word: &str| Some(format!("{word} {}", cells::steps(&labels)));
            out.push(Line::new(Verdict { topic, way, ratio: None }, path, say(was), say(now)));
        }
    }
    out
}

//! What a protocol or session comes down to on two sides, cell by cell.

use super::change::{Topic, Way};
use super::fields::{Judge, Rule};
use super::judge::{self, About, Verdict};
use super::pairs::{Pair, pair_up};
use super::show::{self, Amount};
use super::{Line, order, stops, totals};
use crate::compute::currency::derived::{CautionState, Derived, DoseState, FlagState, StepState};
use crate::model::DocName;
use crate::model::unit::Dim;
use crate::model::vocabulary::{Role, Strength, Stressor};
use std::collections::{BTreeMap, BTreeSet};

/// Lines of a protocol or session, and what they explain.
#[derive(Default)]
pub(super) struct Cells {
    pub lines: Vec<Line>,
    /// Which step is which, by place in the list.
    pub steps: Vec<Pair>,
    /// The same for home items.
    pub home: Vec<Pair>,
    /// Fields of a step (home or not, place in the new list) for which there is a line.
    pub explained: BTreeSet<(bool, usize, String)>,
}

/// One line of one step, before steps with the same line are put together.
struct Found {
    label: String,
    field: String,
    line: Line,
}

/// Compares all cells. `title` says what a condition or flag is called.
pub(super) fn compare(old: &Derived, new: &Derived, title: &dyn Fn(&DocName) -> String) -> Cells {
    let (was, now): (Vec<&StepState>, Vec<&StepState>) = (old.steps.iter().collect(), new.steps.iter().collect());
    let pairs = pair_up(&was, &now, 0.5, |x, y| alike(x, y));
    let mut cells = Cells::default();
    let (first_old, first_new) = (count(old), count(new));
    let mut found = Vec::new();
    for (i, j) in &pairs {
        let (x, y) = (i.and_then(|i| was.get(i)), j.and_then(|j| now.get(j)));
        match (x, y, j) {
            (Some(x), Some(y), Some(j)) => {
                let own = step(x, y, title);
                let at = if *j < first_new { (false, *j) } else { (true, j - first_new) };
                cells.explained.extend(own.iter().map(|f| (at.0, at.1, f.1.clone())));
                found.extend(own.into_iter().map(|(f, _)| f));
            }
            (Some(x), ..) => cells.lines.push(alone(x, true)),
            (_, Some(y), _) => cells.lines.push(alone(y, false)),
            _ => {}
        }
    }
    let retargeted = cells.explained.iter().any(|(.., field)| field == "target");
    cells.lines.extend(together(found));
    let home = |(i, j): &Pair| i.is_some_and(|i| i >= first_old) || j.is_some_and(|j| j >= first_new);
    cells.steps = pairs.iter().copied().filter(|p| !home(p)).collect();
    cells.home = pairs.iter().filter(|p| home(p)).map(|(i, j)| (i.map(|i| i - first_old), j.map(|j| j - first_new))).collect();
    cells.lines.extend(order::compare(&was, &now, &cells.steps));
    cells.lines.extend(totals::compare(old, new, retargeted));
    cells.lines.extend(flags(&old.flags, &new.flags, title));
    cells
}

fn count(derived: &Derived) -> usize {
    derived.steps.iter().filter(|s| !is_home(s)).count()
}

fn is_home(step: &StepState) -> bool {
    step.key.starts_with("home ")
}

fn technique(step: &StepState) -> &str {
    step.key.rsplit_once(' ').map_or(&*step.key, |(name, _)| name)
}

/// One technique comes before any likeness; then the target, the words, the number.
fn alike(old: &StepState, new: &StepState) -> f64 {
    if is_home(old) != is_home(new) {
        return 0.0;
    }
    let words = strsim::sorensen_dice(&old.action, &new.action);
    let (target, number) = (old.target == new.target, old.shown == new.shown);
    let share = 0.5 * words + if target { 0.3 } else { 0.0 } + if number { 0.2 } else { 0.0 };
    if technique(old) == technique(new) {
        1.0 + share
    } else if words >= 0.6 || (number && target && !old.target.is_empty()) {
        0.5 + share / 3.0
    } else {
        0.0
    }
}

pub(super) fn label(step: &StepState) -> String {
    if is_home(step) { step.shown.clone() } else { format!("step {}", step.shown) }
}

/// A step that stands on one side alone.
fn alone(step: &StepState, gone: bool) -> Line {
    let topic = match step.role {
        Some(Role::Consent) => Topic::Consent,
        Some(Role::Screening) => Topic::Screening,
        Some(Role::SensationTest) => Topic::SensationTest,
        Some(Role::Measurement) => Topic::Retest,
        Some(Role::Pause) => Topic::Rest,
        _ => Topic::Step,
    };
    let guards = if topic == Topic::Step { Judge::Said } else { Judge::Guard };
    let verdict = judge::presence(Rule { topic, judge: guards }, gone);
    let words = Some(step.action.clone());
    let (old, new) = if gone { (words, None) } else { (None, words) };
    let role = step.role.map(|r| format!(" ({})", r.word())).unwrap_or_default();
    Line::new(verdict, format!("{}{role}", label(step)), old, new)
}

type Own = Vec<(Found, String)>;

/// A step that stands on both sides.
fn step(old: &StepState, new: &StepState, title: &dyn Fn(&DocName) -> String) -> Own {
    let label = if old.shown == new.shown { label(new) } else { format!("{} (was {})", label(new), old.shown) };
    let mut out: Own = Vec::new();
    let mut add = |key: &str, field: String, line: Line| out.push((Found { label: label.clone(), field, line }, key.to_string()));
    for line in cautions(&old.cautions, &new.cautions, title) {
        add("", line.path.clone(), line);
    }
    for moved in stops::moved(&old.stops, &new.stops) {
        let topic = judge::words(Topic::StopRule, !moved.only_words);
        let line = Line::new(Verdict { topic, way: moved.way, ratio: None }, "", moved.old, moved.new).cell("stop");
        add("stop", "stop rule".into(), line);
    }
    monitoring(old, new, &mut add);
    let place = |topic| Verdict { topic, way: Way::Different, ratio: None };
    if technique(old) != technique(new) {
        let names = [old, new].map(|s| Some(technique(s).trim_start_matches("home ").to_string()));
        let [a, b] = names;
        add("technique", "technique".into(), Line::new(place(Topic::Method), "", a, b));
    }
    if old.position != new.position {
        add("position", "position".into(), Line::new(place(Topic::Place), "", old.position.clone(), new.position.clone()));
    }
    if old.target != new.target {
        let words = |s: &StepState| Some(s.target.join("; ")).filter(|t| !t.is_empty());
        add("target", "target".into(), Line::new(place(Topic::Place), "", words(old), words(new)));
    }
    let peaks = peaks(old, new, &mut add);
    dose(old, new, peaks, &mut add);
    out
}

fn monitoring(old: &StepState, new: &StepState, add: &mut impl FnMut(&str, String, Line)) {
    let rule = |topic, judge| Rule { topic, judge };
    if old.monitoring != new.monitoring {
        let verdict = match (&old.monitoring, &new.monitoring) {
            (Some(a), Some(b)) => {
                judge::changed(rule(Topic::Monitoring, Judge::Guard), &a.as_str().into(), &b.as_str().into(), About::default())
            }
            (a, _) => judge::presence(rule(Topic::Monitoring, Judge::Guard), a.is_some()),
        };
        let shown = |t: &Option<String>| t.as_deref().map(show::text);
        let line = Line::new(verdict, "", shown(&old.monitoring), shown(&new.monitoring)).cell("monitoring");
        add("monitoring", "what is watched".into(), line);
    }
    let time = |s: Option<f64>| s.map(|s| Amount::of(Dim::Time.word(), Some(s), Some(s)));
    if old.monitoring_every != new.monitoring_every {
        let line =
            Line::of_amounts(rule(Topic::Interval, Judge::Up), About::default(), time(old.monitoring_every), time(new.monitoring_every));
        add("", "time between two looks".into(), line.cell("monitoring"));
    }
}

/// Highest pain of each stressor that is on both sides; true if one moved.
fn peaks(old: &StepState, new: &StepState, add: &mut impl FnMut(&str, String, Line)) -> bool {
    let amount = |x: Option<f64>| x.map(|x| Amount::of(Dim::Pain.word(), Some(x), Some(x)));
    let before: BTreeMap<Stressor, Option<f64>> = old.loads.iter().copied().collect();
    let mut moved = false;
    for (stressor, peak) in &new.loads {
        let Some(was) = before.get(stressor).filter(|was| *was != peak) else { continue };
        moved = true;
        let line = Line::of_amounts(Rule { topic: Topic::Peak, judge: Judge::Up }, About::default(), amount(*was), amount(*peak));
        add("dose.pain", "highest pain allowed".into(), line);
    }
    moved
}

fn dose(old: &StepState, new: &StepState, peaks: bool, add: &mut impl FnMut(&str, String, Line)) {
    let has = |s: Stressor| [old, new].iter().any(|step| step.loads.iter().any(|(own, _)| *own == s));
    let heat = match (has(Stressor::Heat), has(Stressor::Cold)) {
        (true, false) => Some(true),
        (false, true) => Some(false),
        _ => None,
    };
    let names: BTreeSet<&String> = old.dose.keys().chain(new.dose.keys()).collect();
    for name in names {
        let (a, b) = (old.dose.get(name), new.dose.get(name));
        let is_pain = |d: Option<&DoseState>| matches!(d, Some(DoseState::Amount(dim, ..)) if dim == Dim::Pain.word());
        if a == b || (peaks && is_pain(a) && is_pain(b)) {
            continue;
        }
        add(&format!("dose.{name}"), name.replace('-', " "), parameter(name, heat, a, b));
    }
}

/// A dose parameter that is not the same.
fn parameter(name: &str, heat: Option<bool>, old: Option<&DoseState>, new: Option<&DoseState>) -> Line {
    let amount = |d: Option<&DoseState>| match d {
        Some(DoseState::Amount(dim, lo, hi)) => Some(Amount::of(dim, *lo, *hi)),
        _ => None,
    };
    let about = About { parameter: name, heat };
    let dim = amount(old).or(amount(new)).and_then(|a| a.dim);
    let protects = judge::more_is_looser(about, dim) == Some(false);
    let rule = if protects { Rule { topic: Topic::Rest, judge: Judge::Down } } else { Rule { topic: Topic::Dose, judge: Judge::Dose } };
    let word = |d: Option<&DoseState>| matches!(d, Some(DoseState::Word(_)));
    if !word(old) && !word(new) {
        return Line::of_amounts(rule, about, amount(old), amount(new));
    }
    let shown = |d: Option<&DoseState>| match d {
        Some(DoseState::Word(word)) => Some(word.clone()),
        other => amount(other).map(|a| a.shown(None)),
    };
    Line::new(Verdict { topic: Topic::Dose, way: Way::Different, ratio: None }, "", shown(old), shown(new))
}

fn cautions(old: &[CautionState], new: &[CautionState], title: &dyn Fn(&DocName) -> String) -> Vec<Line> {
    let by_key = |all: &'_ [CautionState]| {
        all.iter().map(|c| ((c.condition.clone(), c.with.clone(), c.stressor), c.clone())).collect::<BTreeMap<_, _>>()
    };
    let (a, b) = (by_key(old), by_key(new));
    let keys: BTreeSet<_> = a.keys().chain(b.keys()).collect();
    let mut out = Vec::new();
    for key in keys {
        let (x, y) = (a.get(key), b.get(key));
        let (condition, with, stressor) = key;
        let pair = with.as_ref().map(|w| format!(" together with {}", title(w))).unwrap_or_default();
        let path = format!("caution {}{pair}, {}", title(condition), stressor.word());
        let with = with.as_ref().map(|w| format!(" {w}")).unwrap_or_default();
        let cell = format!("caution {condition}{with} {}", stressor.word());
        let say = |c: &CautionState| c.strength.word().to_string();
        let rank = |c: Option<&CautionState>| c.map_or(usize::MAX, |c| place(c.strength));
        if x.map(|c| c.strength) != y.map(|c| c.strength) {
            let way = if rank(y) > rank(x) { Way::Looser } else { Way::Tighter };
            let verdict = Verdict { topic: Topic::Caution, way, ratio: None };
            out.push(Line::new(verdict, path.clone(), x.map(say), y.map(say)).cell(cell.clone()).about(condition));
        }
        let (Some(x), Some(y)) = (x, y) else { continue };
        let names: BTreeSet<&String> = x.max.keys().chain(y.max.keys()).collect();
        for name in names.into_iter().filter(|n| x.max.get(*n) != y.max.get(*n)) {
            let mut line = parameter(name, None, x.max.get(name), y.max.get(name));
            if line.old.is_none() != line.new.is_none() {
                line.verdict.way = if line.new.is_none() { Way::Looser } else { Way::Tighter };
            }
            line.verdict.topic = Topic::Caution;
            line.path = format!("{path}, {} at most", name.replace('-', " "));
            out.push(line.cell(cell.clone()).about(condition));
        }
    }
    out
}

fn place(strength: Strength) -> usize {
    Strength::ALL.iter().position(|s| *s == strength).unwrap_or(usize::MAX)
}

fn flags(old: &[FlagState], new: &[FlagState], title: &dyn Fn(&DocName) -> String) -> Vec<Line> {
    let names: BTreeSet<&DocName> = old.iter().chain(new).map(|f| &f.flag).collect();
    let mut out = Vec::new();
    for name in names {
        let own = |all: &'_ [FlagState]| all.iter().find(|f| f.flag == *name).cloned();
        let (path, cell) = (format!("red flag {}", title(name)), format!("flag {name}"));
        let word = |f: &FlagState| f.urgency.map_or("asked", |u| u.word()).to_string();
        let (a, b) = (own(old), own(new));
        let (Some(x), Some(y)) = (&a, &b) else {
            let verdict = judge::presence(Rule { topic: Topic::Flag, judge: Judge::Keep }, a.is_some());
            out.push(Line::new(verdict, path, a.as_ref().map(word), b.as_ref().map(word)).cell(cell).about(name));
            continue;
        };
        if x.urgency != y.urgency {
            let late = |f: &FlagState| f.urgency.map_or(usize::MAX, |u| u as usize);
            let way = if late(y) > late(x) { Way::Looser } else { Way::Tighter };
            let (old, new) = (x.urgency.map(|u| u.word().to_string()), y.urgency.map(|u| u.word().to_string()));
            let verdict = Verdict { topic: Topic::Urgency, way, ratio: None };
            out.push(Line::new(verdict, format!("{path}, urgency"), old, new).cell(format!("{cell} urgency")).about(name));
        }
        if x.destination != y.destination {
            let way = match (&x.destination, &y.destination) {
                (_, None) => Way::Looser,
                (None, _) => Way::Tighter,
                _ => Way::Different,
            };
            let verdict = Verdict { topic: Topic::Destination, way, ratio: None };
            let line = Line::new(verdict, format!("{path}, destination"), x.destination.clone(), y.destination.clone());
            out.push(line.cell(format!("{cell} destination")).about(name));
        }
    }
    out
}

/// Steps with the same line are one line.
fn together(found: Vec<Found>) -> Vec<Line> {
    let mut groups: Vec<(String, Line, Vec<String>)> = Vec::new();
    for f in found {
        let same = |(field, line, _): &&mut (String, Line, Vec<String>)| *field == f.field && line.says(&f.line);
        match groups.iter_mut().find(same) {
            Some((.., labels)) if labels.contains(&f.label) => {}
            Some((.., labels)) => labels.push(f.label),
            None => groups.push((f.field, f.line, vec![f.label])),
        }
    }
    groups.into_iter().map(|(field, line, labels)| Line { path: format!("{}, {field}", steps(&labels)), ..line }).collect()
}

/// `steps 5, 6 and 7`; labels that are no plain number stand in full.
pub(super) fn steps(labels: &[String]) -> String {
    let numbers: Vec<&str> = labels.iter().filter_map(|l| l.strip_prefix("step ")).collect();
    if numbers.len() < 2 || numbers.len() < labels.len() {
        return labels.join(", ");
    }
    let (last, first) = numbers.split_last().unwrap_or((&"", &[]));
    format!("steps {} and {last}", first.join(", "))
}

//! Fields of one document on two sides. Every value that is not the same gives a line, unless a cell explains it.

use super::cells::Cells;
use super::change::{Topic, Way};
use super::fields::{Judge, Rule, rule};
use super::judge::{self, About, Verdict};
use super::pairs::{Pair, likeness, pair_up, reordered};
use super::show;
use super::{Line, stops};
use crate::model::content::{Content, QUANTITY};
use crate::model::{DocName, Kind};
use serde_json::{Map, Value};

/// A part of a path.
#[derive(Clone)]
struct Part {
    /// Key, or `*` for an item of a list.
    key: String,
    /// What an item is called; empty for a key and for an item without a name.
    label: String,
    /// Place in the new list.
    row: Option<usize>,
}

type Path = Vec<Part>;

struct Walk<'a> {
    name: &'a DocName,
    cells: Option<&'a Cells>,
    heat: Option<bool>,
    lines: Vec<Line>,
}

/// Lines of all fields that differ.
pub(super) fn compare(name: &DocName, old: &Content, new: &Content, cells: Option<&Cells>) -> Vec<Line> {
    let (old, new) = (uniform(name, old.value()), uniform(name, new.value()));
    let mut walk = Walk { name, cells, heat: heat(&new).or(heat(&old)), lines: Vec::new() };
    walk.value(&mut Vec::new(), &old, &new);
    walk.lines
}

/// A row of a condition that is a word alone, as a list of one row.
fn uniform(name: &DocName, content: &Value) -> Value {
    let mut out = content.clone();
    if name.kind == Kind::Condition {
        uniform_rules(&mut out);
        out.get_mut("together").and_then(Value::as_array_mut).into_iter().flatten().for_each(uniform_rules);
    }
    out
}

fn uniform_rules(matrix: &mut Value) {
    let rules = matrix.get_mut("rules").and_then(Value::as_object_mut);
    for row in rules.into_iter().flat_map(Map::values_mut).filter(|v| v.is_string()) {
        let strength = std::mem::take(row);
        *row = Value::Array(vec![Value::Object(Map::from_iter([("strength".to_string(), strength)]))]);
    }
}

/// True for a technique that warms, false for one that cools.
fn heat(content: &Value) -> Option<bool> {
    let exposes = content.get("exposes")?.as_array()?;
    let has = |word: &str| exposes.iter().any(|e| e.get("stressor").and_then(Value::as_str) == Some(word));
    match (has("heat"), has("cold")) {
        (true, false) => Some(true),
        (false, true) => Some(false),
        _ => None,
    }
}

fn is_amount(value: &Value) -> bool {
    value.get(QUANTITY).is_some()
}

impl Walk<'_> {
    fn rule(&self, path: &Path) -> Rule {
        rule(self.name, &path.iter().map(|p| &*p.key).collect::<Vec<_>>())
    }

    fn value(&mut self, path: &mut Path, old: &Value, new: &Value) {
        if old == new || self.explained(path) {
            return;
        }
        match (old, new) {
            (Value::Object(a), Value::Object(b)) if !is_amount(old) && !is_amount(new) => self.map(path, a, b),
            (Value::Array(a), Value::Array(b)) => self.list(path, a, b),
            _ => self.leaf(path, old, new),
        }
    }

    fn map(&mut self, path: &mut Path, old: &Map<String, Value>, new: &Map<String, Value>) {
        let mut keys: Vec<&String> = old.keys().chain(new.keys()).collect();
        keys.sort();
        keys.dedup();
        for key in keys {
            path.push(Part { key: key.clone(), label: String::new(), row: None });
            match (old.get(key), new.get(key)) {
                (Some(a), Some(b)) => self.value(path, a, b),
                (Some(a), None) => self.alone(path, a, true),
                (None, Some(b)) => self.alone(path, b, false),
                (None, None) => {}
            }
            path.pop();
        }
    }

    /// A value on one side alone. A list is judged item by item, unless it is the list that counts.
    fn alone(&mut self, path: &mut Path, value: &Value, gone: bool) {
        if self.explained(path) {
            return;
        }
        let rule = self.rule(path);
        match value {
            // Two cells, each with its own line.
            Value::Object(map) if self.name.kind == Kind::Technique && path.last().is_some_and(|p| p.key == "monitoring") => {
                let none = Map::new();
                if gone { self.map(path, map, &none) } else { self.map(path, &none, map) }
            }
            Value::Array(items) if !items.is_empty() && rule.judge != Judge::Gain => {
                if gone {
                    self.list(path, items, &[]);
                } else {
                    self.list(path, &[], items);
                }
            }
            _ => {
                let words = Some(show::value(value));
                let (old, new) = if gone { (words, None) } else { (None, words) };
                self.say(path, judge::presence(rule, gone), old, new);
            }
        }
    }

    fn leaf(&mut self, path: &Path, old: &Value, new: &Value) {
        let rule = self.rule(path);
        let mut keys = path.iter().rev().map(|p| &*p.key);
        let parameter = keys.next().filter(|k| *k != "allowed").or_else(|| keys.next()).unwrap_or_default();
        let verdict = judge::changed(rule, old, new, About { parameter, heat: self.heat });
        let (a, b) = show::both(old, new);
        self.say(path, verdict, Some(a), Some(b));
    }

    fn list(&mut self, path: &mut Path, old: &[Value], new: &[Value]) {
        let key = path.last().map(|p| p.key.clone()).unwrap_or_default();
        if key == "stop" {
            return self.stops(path, old, new);
        }
        let pairs = self.pairs(path, old, new);
        for (i, j) in &pairs {
            let (a, b) = (i.and_then(|i| old.get(i)), j.and_then(|j| new.get(j)));
            let Some(any) = b.or(a) else { continue };
            path.push(Part { key: "*".into(), label: label(any), row: *j });
            match (a, b) {
                (Some(a), Some(b)) => self.value(path, a, b),
                (Some(a), None) => self.item(path, a, true),
                (_, Some(b)) => self.item(path, b, false),
                (None, None) => {}
            }
            path.pop();
        }
        if reordered(&pairs) && !(self.is_steps(path) && self.cells.is_some_and(|c| reordered(&c.steps))) {
            let own = self.rule(path);
            let topic = if own.topic == Topic::Order { Topic::Order } else { judge::words(own.topic, false) };
            let words = |all: &[Value]| {
                Some(
                    all.iter()
                        .map(|v| Some(label(v)).filter(|l| !l.is_empty()).unwrap_or_else(|| show::value(v)))
                        .collect::<Vec<_>>()
                        .join(", "),
                )
            };
            let verdict = Verdict { topic, way: Way::Different, ratio: None };
            path.push(Part { key: "order".into(), label: String::new(), row: None });
            self.say(path, verdict, words(old), words(new));
            path.pop();
        }
    }

    /// An item on one side alone. A step has its line already.
    fn item(&mut self, path: &mut Path, value: &Value, gone: bool) {
        let list: Path = path.iter().take(path.len().saturating_sub(1)).cloned().collect();
        if !(self.is_steps(&list) && self.cells.is_some()) {
            self.alone(path, value, gone);
        }
    }

    fn stops(&mut self, path: &Path, old: &[Value], new: &[Value]) {
        for moved in stops::moved(&stops::read(old), &stops::read(new)) {
            let topic = judge::words(Topic::StopRule, !moved.only_words);
            let verdict = Verdict { topic, way: moved.way, ratio: None };
            let line = Line::new(verdict, words(path).replace("stop rules", "stop rule"), moved.old, moved.new);
            self.lines.push(line.cell("stop"));
        }
        if old.len() == new.len() && stops::moved(&stops::read(old), &stops::read(new)).is_empty() {
            let list = |all: &[Value]| Some(all.iter().map(label).collect::<Vec<_>>().join(", "));
            let verdict = Verdict { topic: Topic::Wording, way: Way::Different, ratio: None };
            self.say(path, verdict, list(old), list(new));
        }
    }

    fn is_steps(&self, path: &Path) -> bool {
        self.name.kind == Kind::Protocol && matches!(path.as_slice(), [list] if matches!(&*list.key, "steps" | "home"))
    }

    /// Which item is which: steps as their cells say, named items by name, the rest by likeness.
    fn pairs(&self, path: &Path, old: &[Value], new: &[Value]) -> Vec<Pair> {
        if let Some(cells) = self.cells.filter(|_| self.is_steps(path)) {
            let own = if path.first().is_some_and(|p| p.key == "steps") { &cells.steps } else { &cells.home };
            let count = |pick: fn(&Pair) -> Option<usize>| own.iter().filter_map(pick).count();
            if (count(|p| p.0), count(|p| p.1)) == (old.len(), new.len()) {
                return own.clone();
            }
        }
        let least = if old.len() == 1 && new.len() == 1 && old.iter().chain(new).all(Value::is_object) { 0.0 } else { 0.5 };
        pair_up(old, new, least, alike)
    }

    /// True if a cell has a line for this field of a step.
    fn explained(&self, path: &Path) -> bool {
        let Some(cells) = self.cells else { return false };
        let [list, item, fields @ ..] = path.as_slice() else { return false };
        let home = match (&*list.key, self.name.kind) {
            ("steps", Kind::Protocol) => false,
            ("home", Kind::Protocol) => true,
            _ => return false,
        };
        let keys: Vec<&str> = fields.iter().map(|p| &*p.key).collect();
        let own = if home { &cells.home } else { &cells.steps };
        let shifted = reordered(own) || own.iter().any(|p| p.0.is_none() || p.1.is_none());
        if keys == ["number"] && shifted {
            return true;
        }
        item.row.is_some_and(|row| cells.explained.contains(&(home, row, keys.join("."))))
    }

    /// True for a field of a step that its cells hold: if no cell moved, it says the same in another way.
    fn settled(&self, path: &Path) -> bool {
        let list: Path = path.iter().take(1).cloned().collect();
        let held = path.get(2).map(|p| &*p.key);
        let held = held.is_some_and(|k| matches!(k, "dose" | "monitoring" | "position" | "target" | "technique"));
        self.cells.is_some() && held && self.is_steps(&list)
    }

    fn say(&mut self, path: &Path, verdict: Verdict, old: Option<String>, new: Option<String>) {
        let topic = if self.settled(path) { judge::words(verdict.topic, false) } else { verdict.topic };
        let way = if topic == verdict.topic { verdict.way } else { Way::Different };
        let line = Line::new(Verdict { topic, way, ..verdict }, words(path), old, new);
        let keys: Vec<&str> = path.iter().map(|p| &*p.key).collect();
        let cell = match (self.name.kind, keys.as_slice()) {
            (Kind::Condition, ["rules", stressor, ..]) => format!("caution {} {stressor}", self.name),
            (Kind::Flag, [key @ ("urgency" | "destination")]) => format!("flag {} {key}", self.name),
            (Kind::Technique, ["monitoring", ..]) => "monitoring".into(),
            _ => String::new(),
        };
        self.lines.push(line.cell(cell));
    }
}

/// Keys by which an item is known, most telling first.
const NAMES: [&str; 18] = [
    "id",
    "number",
    "sign",
    "check",
    "document",
    "name",
    "stressor",
    "per",
    "source",
    "result",
    "condition",
    "muscle",
    "flag",
    "outcome",
    "agent",
    "motion",
    "domain",
    "text",
];

/// The keys that name an item, without long texts.
fn named(item: &Value) -> Vec<String> {
    let Value::Object(map) = item else { return Vec::new() };
    // A combination is known by the other conditions.
    let with = map.get("with").and_then(Value::as_array);
    if let Some(with) = with {
        return vec![with.iter().map(show::value).collect::<Vec<_>>().join(", ")];
    }
    let own = NAMES.iter().filter_map(|k| map.get(*k)).filter(|v| v.is_string() || v.is_number()).map(show::value);
    own.filter(|t| t.len() <= 60).collect()
}

fn alike(old: &Value, new: &Value) -> f64 {
    let sure = |same: bool| f64::from(u8::from(same));
    if let (Value::String(a), Value::String(b)) = (old, new) {
        // An id is the same or another; sentences can be alike.
        let sentences = a.contains(' ') && b.contains(' ');
        return sure(a == b) + if sentences { strsim::sorensen_dice(a, b) } else { 0.0 };
    }
    let (a, b) = (named(old), named(new));
    likeness(old, new) + sure(!a.is_empty() && a == b)
}

/// What an item is called.
fn label(item: &Value) -> String {
    let named = named(item);
    if item.get("stressor").is_some() { named.join(" per ") } else { named.into_iter().next().unwrap_or_default() }
}

/// A path for people.
fn words(path: &Path) -> String {
    let mut out: Vec<String> = Vec::new();
    for part in path {
        match (&*part.key, out.last_mut()) {
            ("*", Some(list)) if !part.label.is_empty() => {
                let one = list.strip_suffix('s').filter(|_| !list.ends_with("ss")).unwrap_or(list);
                *list = format!("{one} {}", part.label);
            }
            ("*", _) => {}
            (key, _) => out.push(key_word(key)),
        }
    }
    if out.is_empty() { "everything".into() } else { out.join(", ") }
}

/// A key in words, where the key alone does not say it.
fn key_word(key: &str) -> String {
    match key {
        "do" => "what is done".into(),
        "stop" => "stop rules".into(),
        "start" => "rules for starting".into(),
        "cite" => "cited sources".into(),
        "exposes" => "stressors".into(),
        "for" => "for whom".into(),
        "max" => "at most".into(),
        "every" => "time between two looks".into(),
        "lasts" => "how long it lasts".into(),
        "takes" => "how the time is made up".into(),
        "together" => "together with".into(),
        key => key.replace('-', " "),
    }
}

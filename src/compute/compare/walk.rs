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
    if name.kind == Kind::Condition
        && let Some(Value::Object(rules)) = out.get_mut("rules")
    {
        for row in rules.values_mut().filter(|v| v.is_string()) {
            let strength = std::mem::take(row);
            *row = Value::Array(vec![Value::Object(Map::from_iter([("strength".to_string(), strength)]))]);
        }
    }
    out
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
                    self.list(path, items, &[])
                } else {
                    self.list(path, &[], items)
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
        pair_up(old, new, least, |a, b| alike(a, b))
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

    fn say(&mut self, path: &Path, verdict: Verdict, old: Option<String>, new: Option<String>) {
        let line = Line::new(verdict, words(path), old, new);
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
    let own = NAMES.iter().filter_map(|k| map.get(*k)).filter(|v| v.is_string() || v.is_number()).map(show::value);
    own.filter(|t| t.len() <= 60).collect()
}

fn alike(old: &Value, new: &Value) -> f64 {
    match (old, new) {
        (Value::String(a), Value::String(b)) => {
            let same = f64::from(u8::from(a == b));
            // An id is the same or another; sentences can be alike.
            let sentences = a.contains(' ') && b.contains(' ');
            same + if sentences { strsim::sorensen_dice(a, b) } else { 0.0 }
        }
        _ => {
            let (a, b) = (named(old), named(new));
            let one = !a.is_empty() && a == b;
            likeness(old, new) + f64::from(u8::from(one))
        }
    }
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
        "with" => "together with".into(),
        key => key.replace('-', " "),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn content(text: &str) -> Content {
        Content::of(&crate::load::yaml::parse(crate::source::FileId(0), text).root.expect("is YAML"))
    }

    fn lines(name: &str, old: &str, new: &str) -> Vec<(Topic, Way, String, Option<String>, Option<String>)> {
        let name = DocName::read(name).expect("is a name");
        let lines = compare(&name, &content(old), &content(new), None);
        lines.into_iter().map(|l| (l.verdict.topic, l.verdict.way, l.path, l.old, l.new)).collect()
    }

    /// One line expected: topic, way, path.
    fn one(name: &str, old: &str, new: &str, topic: Topic, way: Way, path: &str) {
        let there = lines(name, old, new);
        assert!(matches!(&there[..], [l] if (l.0, l.1, &*l.2) == (topic, way, path)), "{old}\n{new}\n{there:?}");
        let back = lines(name, new, old);
        assert!(matches!(&back[..], [l] if (l.0, l.1) == (topic, way.back())), "{new}\n{old}\n{back:?}");
    }

    #[test]
    fn a_field_is_judged_both_ways_at_its_own_document() {
        use Topic as T;
        use Way::{Different, Looser, Tighter};
        let limit = |rest: &str| format!("limits: [{{stressor: heat, per: session{rest}}}]");
        let cases = [
            ("techniques/x", limit(", max: 20 min"), limit(", max: 25 min"), T::Limit, Looser, "limit heat per session, at most"),
            ("techniques/x", limit(""), limit(", regions: [shin]"), T::Limit, Looser, "limit heat per session, regions"),
            (
                "techniques/x",
                limit(", regions: [shin, heel]"),
                limit(", regions: [shin]"),
                T::Limit,
                Looser,
                "limit heat per session, regions",
            ),
            ("techniques/x", limit(""), "limits: []".into(), T::Limit, Looser, "limit heat per session"),
            ("techniques/x", limit(""), "aim:".into(), T::Limit, Looser, "limit heat per session"),
            ("techniques/x", "stop: [{sign: pain, do: stop}]".into(), "aim:".into(), T::StopRule, Looser, "stop rule"),
            (
                "techniques/x",
                "monitoring: {every: 1 min}".into(),
                "monitoring: {every: 3 min}".into(),
                T::Interval,
                Looser,
                "monitoring, time between two looks",
            ),
            ("techniques/x", "monitoring: {what: Look.}".into(), "aim:".into(), T::Monitoring, Looser, "monitoring, what"),
            ("techniques/x", "recovery: 48 h".into(), "recovery: 1 d".into(), T::Rest, Looser, "recovery"),
            (
                "techniques/x",
                "parameters: {rest: {allowed: 10-30 s}}".into(),
                "parameters: {rest: {allowed: 5-30 s}}".into(),
                T::Limit,
                Looser,
                "parameters, rest, allowed",
            ),
            (
                "techniques/x",
                "parameters: {hold: {allowed: 30-90 s}}".into(),
                "parameters: {hold: {allowed: 30-60 s}}".into(),
                T::Limit,
                Tighter,
                "parameters, hold, allowed",
            ),
            (
                "techniques/x",
                "parameters: {hold: {required: true}}".into(),
                "parameters: {hold: {required: false}}".into(),
                T::Limit,
                Looser,
                "parameters, hold, required",
            ),
            (
                "techniques/x",
                "parameters: {agent: {words: [ice]}}".into(),
                "parameters: {agent: {words: [ice, spray]}}".into(),
                T::Limit,
                Looser,
                "parameters, agent, words",
            ),
            ("techniques/x", "exposes: [{stressor: heat}]".into(), "exposes: []".into(), T::Caution, Looser, "stressor heat"),
            ("techniques/x", "training: thermal".into(), "training: foundation".into(), T::Training, Different, "training"),
            ("techniques/x", "start: [Skin intact.]".into(), "aim:".into(), T::Screening, Looser, "rules for starting"),
            ("techniques/x", "never-heard-of: 3 min".into(), "never-heard-of: 4 min".into(), T::Method, Different, "never heard of"),
            (
                "techniques/x",
                "never-heard-of: One long sentence here.".into(),
                "never-heard-of: One longer sentence here.".into(),
                T::Wording,
                Different,
                "never heard of",
            ),
            ("conditions/x", "rules: {heat: never}".into(), "rules: {heat: watch}".into(), T::Caution, Looser, "rules, heat, strength"),
            (
                "conditions/x",
                "rules: {heat: [{strength: limit, max: {pain: 3/10}}]}".into(),
                "rules: {heat: [{strength: limit, max: {pain: 5/10}}]}".into(),
                T::Caution,
                Looser,
                "rules, heat, at most, pain",
            ),
            (
                "conditions/x",
                "rules: {heat: never}".into(),
                "rules: {heat: [{strength: never, regions: [shin]}]}".into(),
                T::Caution,
                Looser,
                "rules, heat, regions",
            ),
            ("conditions/x", "allows: [a]".into(), "allows: [a, b]".into(), T::Caution, Looser, "allows"),
            ("flags/x", "urgency: now".into(), "urgency: within 2 weeks".into(), T::Urgency, Looser, "urgency"),
            ("flags/x", "destination: a".into(), "destination: b".into(), T::Destination, Different, "destination"),
            ("flags/x", "regions: [shin, heel]".into(), "regions: [shin]".into(), T::Flag, Looser, "regions"),
            ("pack/house", "house: {pain-cap: 5/10}".into(), "house: {pain-cap: 6/10}".into(), T::Limit, Looser, "house, pain cap"),
            (
                "pack/house",
                "house: {thermal: {cold-floor: 5 degC}}".into(),
                "house: {thermal: {cold-floor: 3 degC}}".into(),
                T::Limit,
                Looser,
                "house, thermal, cold floor",
            ),
            (
                "pack/house",
                "house: {thermal: {heat-factor: 1.5}}".into(),
                "house: {thermal: {heat-factor: 1.2}}".into(),
                T::Limit,
                Looser,
                "house, thermal, heat factor",
            ),
            (
                "pack/referral",
                "destinations: {a: {name: A}, b: {name: B}}".into(),
                "destinations: {a: {name: A}}".into(),
                T::Destination,
                Looser,
                "destinations, b",
            ),
            (
                "pack/referral",
                "emergency: {number: \"999\"}".into(),
                "emergency: {number: \"112\"}".into(),
                T::Destination,
                Different,
                "emergency, number",
            ),
            (
                "protocols/x",
                "population: {ages: 18-75 y}".into(),
                "population: {ages: 16-75 y}".into(),
                T::Population,
                Looser,
                "population, ages",
            ),
            (
                "protocols/x",
                "population: {excludes: [a, b]}".into(),
                "population: {excludes: [b]}".into(),
                T::Population,
                Looser,
                "population, excludes",
            ),
            (
                "protocols/x",
                "population: {pregnancy: excluded}".into(),
                "population: {pregnancy: included}".into(),
                T::Population,
                Looser,
                "population, pregnancy",
            ),
            ("protocols/x", "spacing: {gap: 3-7 d}".into(), "spacing: {gap: 2-7 d}".into(), T::Rest, Looser, "spacing, gap"),
            ("protocols/x", "consent: {may-stop: At any time.}".into(), "consent: {}".into(), T::Consent, Looser, "consent, may stop"),
            (
                "protocols/x",
                "evidence: [{text: A., certainty: low}]".into(),
                "evidence: [{text: A., certainty: high}]".into(),
                T::Evidence,
                Looser,
                "evidence A., certainty",
            ),
            ("protocols/x", "side: left".into(), "side: both".into(), T::Place, Different, "side"),
            ("protocols/x", "leaflet: Walk.".into(), "leaflet: Walk more.".into(), T::Note, Different, "leaflet"),
            ("sessions/x", "protocols: [a, b]".into(), "protocols: [b, a]".into(), T::Order, Different, "protocols, order"),
            (
                "questions/x",
                "outcomes: [{outcome: pain, matters: 0.2}]".into(),
                "outcomes: [{outcome: pain, matters: 0.25}]".into(),
                T::Evidence,
                Different,
                "outcome pain, matters",
            ),
            (
                "muscles/x",
                "points: [{number: 1, landmark: {distance: 3 cm}}]".into(),
                "points: [{number: 1, landmark: {distance: 5 cm}}]".into(),
                T::Place,
                Different,
                "point 1, landmark, distance",
            ),
            ("pack/about", "waivers: []".into(), "waivers: [{check: a, document: b}]".into(), T::Note, Looser, "waiver a"),
        ];
        for (name, old, new, topic, way, path) in &cases {
            one(name, old, new, *topic, *way, path);
        }
    }

    #[test]
    fn an_inserted_item_is_one_line_and_a_turned_list_too() {
        one(
            "techniques/x",
            "start: [Skin intact., Feeling tested.]",
            "start: [Consent given., Skin intact., Feeling tested.]",
            Topic::Screening,
            Way::Tighter,
            "rules for starting",
        );
        one(
            "techniques/x",
            "start: [Skin intact., Feeling tested.]",
            "start: [Feeling tested., Skin intact.]",
            Topic::Wording,
            Way::Different,
            "rules for starting, order",
        );
    }
}

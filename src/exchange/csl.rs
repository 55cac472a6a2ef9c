//! CSL-JSON.

use super::{Broken, Incoming, MAX_DEPTH, People, TEXTS, date, line_of, too_deep};
use crate::model::docs::{Bibliography, Form, Issued, OTHERS, PublicationType};
use crate::plan::csl::item;
use serde_json::{Map, Value};

const NAME_KEYS: [&str; 5] = ["family", "given", "non-dropping-particle", "suffix", "literal"];

pub(super) fn read(text: &str) -> Result<Vec<Incoming>, Broken> {
    if let Some(broken) = too_deep(text, b'[', b']').or_else(|| too_deep(text, b'{', b'}')) {
        return Err(broken);
    }
    let value: Value = serde_json::from_str(text).map_err(|e| Broken {
        line: e.line(),
        what: e.to_string(),
        help: format!("CSL-JSON is a list of items between `[` and `]`, at most {MAX_DEPTH} levels deep"),
    })?;
    let items = match value {
        Value::Array(items) => items,
        one @ Value::Object(_) => vec![one],
        _ => return Err(Broken { line: 1, what: "neither a list nor an item".into(), help: "CSL-JSON is a list of items".into() }),
    };
    let mut out = Vec::new();
    for (i, value) in items.into_iter().enumerate() {
        let Value::Object(fields) = value else {
            return Err(Broken {
                line: 1,
                what: format!("entry {} of the list is no item", i + 1),
                help: "an item stands between `{` and `}`".into(),
            });
        };
        out.push(entry(&fields, text));
    }
    Ok(out)
}

fn entry(fields: &Map<String, Value>, text: &str) -> Incoming {
    let mut entry = Incoming { line: 1, ..Incoming::default() };
    for (key, value) in fields {
        match (&**key, value) {
            ("id", value) => {
                entry.key = plain(value);
                entry.line = line_of_id(text, value);
            }
            ("type", Value::String(word)) => {
                entry.kind = PublicationType::from_word(word);
                if entry.kind.is_none() {
                    entry.keep("type", word);
                }
            }
            ("author", Value::Array(names)) => entry.author = people(names, &mut entry.said),
            ("editor", Value::Array(names)) => entry.editor = people(names, &mut entry.said),
            ("issued", value) => issued(&mut entry, value),
            ("abstract", _) => entry.abstract_dropped(),
            (key, Value::String(_) | Value::Number(_)) if TEXTS.contains(&key) => entry.set(key, key, &plain(value)),
            (key, value) => entry.original.push((key.to_string(), plain(value))),
        }
    }
    entry
}

/// The line of an id. Parsed JSON has no places, so the key is looked for with this very value behind it.
fn line_of_id(text: &str, value: &Value) -> usize {
    let written = serde_json::to_string(value).unwrap_or_default();
    let ends = |rest: &str| rest.strip_prefix(&*written).is_some_and(|r| r.trim_start().starts_with([',', '}']));
    let after_colon = |at: usize| text.get(at + "\"id\"".len()..)?.trim_start().strip_prefix(':').map(str::trim_start);
    let found = text.match_indices("\"id\"").find(|(at, _)| after_colon(*at).is_some_and(ends));
    found.map_or(1, |(at, _)| line_of(text, at))
}

fn plain(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        other => other.to_string(),
    }
}

fn people(names: &[Value], said: &mut Vec<String>) -> People {
    let mut people = People::default();
    for (i, name) in names.iter().enumerate() {
        let text = |key: &str| name.get(key).map(plain).map(|t| t.trim().to_string()).filter(|t| !t.is_empty());
        if text("literal").as_deref() == Some(OTHERS) && i > 0 && i + 1 == names.len() {
            people.others = true;
            continue;
        }
        let mut parts: Vec<(&'static str, String)> = NAME_KEYS.into_iter().filter_map(|k| Some((k, text(k)?))).collect();
        if parts.iter().any(|(k, _)| *k == "literal") {
            parts.retain(|(k, _)| *k == "literal");
        } else if !parts.iter().any(|(k, _)| *k == "family") {
            said.push(format!("a name without family name was left out: {name}"));
            continue;
        }
        if let (Some(particle), Some((_, given))) = (text("dropping-particle"), parts.iter_mut().find(|(k, _)| *k == "given")) {
            said.push(format!("the particle `{particle}` now stands with the given name"));
            *given += &format!(" {particle}");
        }
        people.named.push(parts);
    }
    people
}

fn issued(entry: &mut Incoming, value: &Value) {
    let parts = value.get("date-parts").and_then(Value::as_array);
    if parts.is_some_and(|p| p.len() > 1) {
        entry.said.push("of its range of dates the first stands under `issued`".into());
    }
    let number = |i: usize| {
        let part = parts?.first()?.get(i)?;
        part.as_u64().or_else(|| part.as_str()?.trim().parse().ok())
    };
    let small = |i: usize| number(i).and_then(|n| u8::try_from(n).ok());
    let written = match number(0) {
        Some(year) => date(&format!("{year:04}"), small(1), small(2)),
        None => ["raw", "literal"].iter().find_map(|k| value.get(k)).map_or_else(|| plain(value), plain),
    };
    match Issued::read(written.trim()) {
        Some(read) => entry.set("issued", "issued", &read.to_string()),
        None => entry.original.push(("issued".into(), plain(value))),
    }
}

/// What the form cannot carry, for people.
pub const LOST: &str = "ORCID of a person, and the form of other imports";

/// The items as one list.
pub fn write<'a>(sources: impl Iterator<Item = (&'a str, &'a Bibliography)>) -> String {
    let items: Vec<Value> = sources.map(|(id, b)| outgoing(id, b)).collect();
    serde_json::to_string_pretty(&items).unwrap_or_default() + "\n"
}

fn outgoing(id: &str, b: &Bibliography) -> Value {
    let mut value = item(id, b);
    let Value::Object(fields) = &mut value else { return value };
    for role in ["author", "editor"] {
        for person in fields.get_mut(role).and_then(Value::as_array_mut).into_iter().flatten() {
            if let Value::Object(person) = person {
                person.remove("ORCID");
            }
        }
    }
    if let Some(original) = b.original.as_ref().filter(|o| o.form == Form::Csl) {
        for (key, text) in &original.fields {
            let structured = text.value.starts_with(['{', '[']).then(|| serde_json::from_str(&text.value).ok()).flatten();
            let value = structured.unwrap_or_else(|| Value::String(text.value.to_string()));
            if &*key.value == "type" || !fields.contains_key(&*key.value) {
                fields.insert(key.value.to_string(), value);
            }
        }
    }
    value
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_entry_is_found_by_its_id_and_not_by_a_number_that_looks_like_it() {
        let text = "[\n {\"id\": 22, \"volume\": 2},\n {\"id\" : 2, \"title\": \"x\"}\n]";
        let lines: Vec<usize> = read(text).unwrap().iter().map(|e| e.line).collect();
        assert_eq!(lines, [2, 3]);
    }
}

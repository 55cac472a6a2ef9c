//! A source as an item of CSL-JSON, for exports and for the processor that lays out references.

use crate::model::docs::{Bibliography, Issued, Name, Names, OTHERS};
use serde_json::{Map, Value, json};

/// The item. Keys follow the published schema of CSL-JSON 1.0.2, except `ORCID` of a person, which it lacks.
pub fn item(id: &str, b: &Bibliography) -> Value {
    let mut item = Map::new();
    item.insert("id".into(), id.into());
    item.insert("type".into(), b.kind.word().into());
    item.insert("title".into(), (*b.title.value).into());
    for (key, list) in [("author", &b.author), ("editor", &b.editor)] {
        if !list.people.is_empty() {
            item.insert(key.into(), names(list));
        }
    }
    if let Some(issued) = &b.issued {
        item.insert("issued".into(), date(issued.value));
    }
    if let Some(letter) = &b.letter {
        item.insert("year-suffix".into(), letter.value.to_string().into());
    }
    for (part, text) in &b.parts {
        item.insert(part.word().into(), (*text.value).into());
    }
    for identifier in &b.identifiers {
        item.insert(identifier.value.scheme().key().into(), identifier.value.plain().into());
    }
    if let Some(url) = &b.url {
        item.insert("URL".into(), (*url.value).into());
    }
    Value::Object(item)
}

fn names(names: &Names) -> Value {
    let others = names.others.then(|| json!({"literal": OTHERS}));
    names.people.iter().map(name).chain(others).collect()
}

fn name(name: &Name) -> Value {
    let (family, rest) = match name {
        Name::Body(body) => return json!({"literal": *body.value}),
        Name::Person { family, given, particle, suffix, orcid } => (
            family,
            [
                ("given", given.as_ref().map(|t| &*t.value)),
                ("non-dropping-particle", particle.as_ref().map(|t| &*t.value)),
                ("suffix", suffix.as_ref().map(|t| &*t.value)),
                ("ORCID", orcid.as_ref().map(|o| o.value.plain())),
            ],
        ),
    };
    let mut person = Map::new();
    person.insert("family".into(), (*family.value).into());
    person.extend(rest.into_iter().filter_map(|(key, text)| Some((key.to_string(), text?.into()))));
    Value::Object(person)
}

fn date(issued: Issued) -> Value {
    let parts: Vec<i64> =
        std::iter::once(i64::from(issued.year)).chain(issued.month.map(i64::from)).chain(issued.day.map(i64::from)).collect();
    json!({"date-parts": [parts]})
}

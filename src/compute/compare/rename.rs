//! Documents that changed their name and little else: one line, and then compared like any other.

use super::Side;
use super::pairs::{likeness, pair_up};
use crate::compute::currency::derived::CautionState;
use crate::model::content::Content;
use crate::model::{DocName, Kind};
use serde_json::Value;
use std::collections::BTreeMap;

/// How alike two documents must be to be one document under two names.
pub const ALIKE: f64 = 0.8;

/// Old names and what became of them.
pub(super) fn find(old: &Side, new: &Side) -> BTreeMap<DocName, DocName> {
    let mut out = BTreeMap::new();
    for kind in Kind::ALL.into_iter().filter(|k| *k != Kind::Pack) {
        let only = |side: &Side, other: &Side| -> Vec<(DocName, Value)> {
            let own = side.documents.iter().filter(|(n, _)| n.kind == kind && !other.documents.contains_key(*n));
            own.map(|(n, (_, content))| (n.clone(), content.value().clone())).collect()
        };
        let (gone, fresh) = (only(old, new), only(new, old));
        for pair in pair_up(&gone, &fresh, ALIKE, |a, b| likeness(&a.1, &b.1)) {
            if let (Some(i), Some(j)) = pair
                && let (Some(a), Some(b)) = (gone.get(i), fresh.get(j))
            {
                out.insert(a.0.clone(), b.0.clone());
            }
        }
    }
    out
}

/// Keys that hold the id of a document of a kind.
fn keys(kind: Kind) -> &'static [&'static str] {
    match kind {
        Kind::Technique => &["technique", "instead", "allows"],
        Kind::Muscle => &["muscle"],
        Kind::Position => &["position"],
        Kind::Condition => &["condition", "excludes", "with"],
        Kind::Flag => &["flag"],
        Kind::Measure => &["measure", "measured-by"],
        Kind::Outcome => &["outcome"],
        Kind::Population => &["who", "in"],
        Kind::Protocol => &["protocols"],
        Kind::Question => &["question"],
        Kind::Source => &["source", "through", "includes", "part-of"],
        Kind::Pack | Kind::Audit | Kind::Change | Kind::Page | Kind::Session => &[],
    }
}

/// The old side as if the new names had always been in use.
pub(super) fn apply(side: &Side, names: &BTreeMap<DocName, DocName>) -> Side {
    if names.is_empty() {
        return side.clone();
    }
    let new = |name: &DocName| names.get(name).unwrap_or(name).clone();
    let mut out = Side { edition: side.edition.clone(), ..Side::default() };
    for (name, (title, content)) in &side.documents {
        let mut value = content.value().clone();
        refer(&mut value, "", names);
        out.documents.insert(new(name), (title.clone(), Content::from_value(value)));
    }
    for (name, rests) in &side.rests_on {
        out.rests_on.insert(new(name), rests.iter().map(new).collect());
    }
    for (name, derived) in &side.derived {
        let mut derived = derived.clone();
        for step in &mut derived.steps {
            step.key = technique(&step.key, names);
            step.position = step.position.take().map(|id| id_of(Kind::Position, id, names));
            step.cautions.iter_mut().for_each(|c| renamed(c, &new));
        }
        derived.flags.iter_mut().for_each(|f| f.flag = new(&f.flag));
        out.derived.insert(new(name), derived);
    }
    out
}

/// The two of a pair stand in the order of their new names.
fn renamed(caution: &mut CautionState, new: &dyn Fn(&DocName) -> DocName) {
    caution.condition = new(&caution.condition);
    if let Some(with) = &mut caution.with {
        *with = new(with);
        if *with < caution.condition {
            std::mem::swap(with, &mut caution.condition);
        }
    }
}

fn id_of(kind: Kind, id: String, names: &BTreeMap<DocName, DocName>) -> String {
    let name = DocName { kind, id: id.as_str().into() };
    names.get(&name).map_or(id, |new| new.id.to_string())
}

fn technique(key: &str, names: &BTreeMap<DocName, DocName>) -> String {
    let (home, rest) = key.strip_prefix("home ").map_or(("", key), |rest| ("home ", rest));
    let Some((id, turn)) = rest.rsplit_once(' ') else { return key.to_string() };
    format!("{home}{} {turn}", id_of(Kind::Technique, id.to_string(), names))
}

/// Replaces ids under the keys that hold them, and links in Markdown.
fn refer(value: &mut Value, key: &str, names: &BTreeMap<DocName, DocName>) {
    match value {
        Value::Object(map) => map.iter_mut().for_each(|(k, v)| refer(v, k, names)),
        Value::Array(items) => items.iter_mut().for_each(|v| refer(v, key, names)),
        Value::String(text) => {
            for (old, new) in names {
                if keys(old.kind).contains(&key) && **text == *old.id {
                    *text = new.id.to_string();
                    break;
                }
                let link = |name: &DocName| format!("]({}:{})", name.kind.word(), name.id);
                if text.contains(&link(old)) {
                    *text = text.replace(&link(old), &link(new));
                }
            }
        }
        _ => {}
    }
}

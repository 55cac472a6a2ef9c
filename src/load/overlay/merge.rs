//! Laying a patch over a tree, as RFC 7386 says, with one addition: a mapping laid over a list addresses its items by
//! what they are called, never by their place.
//!
//! Every value keeps the place where it was written, so a merged tree points into several files.

use crate::model::nearest;
use crate::source::{Node, NodeKind, Span, Spanned, Text};

/// What items of a list are called by: the first row of which every item has every key. Two keys are joined by a blank.
pub const CALLED_BY: [&[&str]; 16] = [
    &["number"],
    &["id"],
    &["name"],
    &["sign"],
    &["word"],
    &["motion"],
    &["condition"],
    &["flag"],
    &["muscle"],
    &["part"],
    &["domain"],
    &["outcome"],
    &["stressor", "per"],
    &["stressor"],
    &["source", "result"],
    &["source"],
];

/// What is wrong with a patch.
#[derive(Debug, PartialEq, Eq)]
pub enum Slip {
    /// It removes what is not there.
    Gone {
        /// Where.
        at: Span,
        /// What.
        called: String,
        /// What is called nearly the same.
        near: Option<String>,
    },
    /// It addresses items of a list that have no names of their own.
    Nameless {
        /// Where.
        at: Span,
    },
    /// A key without a value: nothing, or not finished?
    Unfinished {
        /// Where.
        at: Span,
    },
}

/// Lays `patch` over `base`.
pub fn merge(base: Option<&Node>, patch: &Node, slips: &mut Vec<Slip>) -> Node {
    let NodeKind::Map(changes) = &patch.kind else { return patch.clone() };
    match base.map(|b| (&b.kind, b.span)) {
        Some((NodeKind::Map(entries), span)) => Node { span, kind: NodeKind::Map(mapping(entries, changes, slips)) },
        Some((NodeKind::Seq(items), span)) if items.iter().any(|i| matches!(i.kind, NodeKind::Map(_))) => {
            let Some(keys) = called_by(items) else {
                slips.push(Slip::Nameless { at: patch.span });
                return Node { span, kind: NodeKind::Seq(items.clone()) };
            };
            Node { span, kind: NodeKind::Seq(list(items, keys, changes, slips)) }
        }
        _ => {
            // A new value has nothing that could be removed; a null in it is dropped.
            let mut all = Vec::new();
            let kind = NodeKind::Map(mapping(&[], changes, &mut all));
            slips.extend(all.into_iter().filter(|s| matches!(s, Slip::Unfinished { .. })));
            Node { span: patch.span, kind }
        }
    }
}

fn mapping(base: &[(Text, Node)], changes: &[(Text, Node)], slips: &mut Vec<Slip>) -> Vec<(Text, Node)> {
    let mut out = base.to_vec();
    for (key, patch) in changes {
        let place = out.iter().position(|(k, _)| k.value == key.value);
        match (&patch.kind, place) {
            (NodeKind::Null, _) if patch.span.start == patch.span.end => slips.push(Slip::Unfinished { at: key.span }),
            (NodeKind::Null, Some(i)) => drop(out.remove(i)),
            (NodeKind::Null, None) => slips.push(gone(key, base.iter().map(|(k, _)| &*k.value))),
            (_, Some(i)) => {
                if let Some((old, value)) = out.get_mut(i) {
                    let merged = merge(Some(value), patch, slips);
                    // A value of the base that is only changed inside still stands under its own key.
                    if merged.span.file != old.span.file {
                        *old = key.clone();
                    }
                    *value = merged;
                }
            }
            (_, None) => out.push((key.clone(), merge(None, patch, slips))),
        }
    }
    out
}

fn gone<'a>(key: &Text, known: impl Iterator<Item = &'a str>) -> Slip {
    Slip::Gone { at: key.span, called: key.value.to_string(), near: nearest(&key.value, known).map(String::from) }
}

/// The keys by which the items of a list are told apart: the first row of which every item has every key and no two
/// items are called the same, or else the first that every item has.
fn called_by(items: &[Node]) -> Option<&'static [&'static str]> {
    let names = |keys: &&[&str]| items.iter().map(|i| name(i, keys)).collect::<Option<Vec<String>>>();
    let apart = |keys: &&&[&str]| {
        names(keys).is_some_and(|mut names| {
            names.sort();
            names.windows(2).all(|w| w.first() != w.last())
        })
    };
    let all = CALLED_BY.iter();
    all.clone().find(apart).or_else(|| all.clone().find(|keys| names(keys).is_some())).copied()
}

fn name(item: &Node, keys: &[&str]) -> Option<String> {
    let parts: Option<Vec<&str>> = keys.iter().map(|k| item.get(k)?.text()).collect();
    parts.map(|p| p.join(" "))
}

fn list(base: &[Node], keys: &[&str], changes: &[(Text, Node)], slips: &mut Vec<Slip>) -> Vec<Node> {
    let mut out = base.to_vec();
    for (key, patch) in changes {
        let mut places = (0..out.len()).filter(|i| out.get(*i).and_then(|item| name(item, keys)).as_deref() == Some(&*key.value));
        let place = places.next();
        if places.next().is_some() {
            slips.push(Slip::Nameless { at: key.span });
            continue;
        }
        match (&patch.kind, place) {
            (NodeKind::Null, _) if patch.span.start == patch.span.end => slips.push(Slip::Unfinished { at: key.span }),
            (NodeKind::Null, Some(i)) => drop(out.remove(i)),
            (NodeKind::Null, None) => {
                let known: Vec<String> = base.iter().filter_map(|i| name(i, keys)).collect();
                slips.push(gone(key, known.iter().map(String::as_str)));
            }
            (_, Some(i)) => {
                if let Some(item) = out.get_mut(i) {
                    *item = merge(Some(item), patch, slips);
                }
            }
            (_, None) => out.push(added(key, keys, merge(None, patch, slips))),
        }
    }
    // Steps stand in the order of their numbers.
    if keys == ["number"] {
        out.sort_by_key(|item| item.get("number").and_then(|n| n.text()?.parse::<i64>().ok()));
    }
    out
}

/// A new item bears the name under which it was written.
fn added(key: &Text, keys: &[&str], mut item: Node) -> Node {
    if let ([only], NodeKind::Map(entries)) = (keys, &mut item.kind)
        && !entries.iter().any(|(k, _)| &*k.value == *only)
    {
        let digits = key.value.bytes().all(|b| b.is_ascii_digit());
        let kind = if digits { NodeKind::Number(key.value.clone()) } else { NodeKind::Text(key.value.clone()) };
        entries.insert(0, (Spanned::new((*only).into(), key.span), Node { span: key.span, kind }));
    }
    item
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::yaml;
    use crate::source::FileId;
    use serde_json::Value;

    fn tree(file: u32, text: &str) -> Node {
        yaml::parse_as(FileId(file), text, yaml::CHANGE).root.unwrap()
    }

    fn merged(base: &str, patch: &str) -> (Value, Vec<Slip>) {
        let mut slips = Vec::new();
        let out = merge(Some(&tree(0, base)), &tree(1, patch), &mut slips);
        (out.to_json(), slips)
    }

    /// RFC 7386, appendix A, "Example Test Cases", all fifteen in order.
    #[test]
    fn the_examples_of_rfc_7386_come_out_as_printed() {
        let cases = [
            (r#"{"a":"b"}"#, r#"{"a":"c"}"#, r#"{"a":"c"}"#),
            (r#"{"a":"b"}"#, r#"{"b":"c"}"#, r#"{"a":"b","b":"c"}"#),
            (r#"{"a":"b"}"#, r#"{"a":null}"#, r"{}"),
            (r#"{"a":"b","b":"c"}"#, r#"{"a":null}"#, r#"{"b":"c"}"#),
            (r#"{"a":["b"]}"#, r#"{"a":"c"}"#, r#"{"a":"c"}"#),
            (r#"{"a":"c"}"#, r#"{"a":["b"]}"#, r#"{"a":["b"]}"#),
            (r#"{"a":{"b":"c"}}"#, r#"{"a":{"b":"d","c":null}}"#, r#"{"a":{"b":"d"}}"#),
            (r#"{"a":[{"b":"c"}]}"#, r#"{"a":[1]}"#, r#"{"a":[1]}"#),
            (r#"["a","b"]"#, r#"["c","d"]"#, r#"["c","d"]"#),
            (r#"{"a":"b"}"#, r#"["c"]"#, r#"["c"]"#),
            (r#"{"a":"foo"}"#, "null", "null"),
            (r#"{"a":"foo"}"#, r#""bar""#, r#""bar""#),
            (r#"{"e":null}"#, r#"{"a":1}"#, r#"{"e":null,"a":1}"#),
            (r"[1,2]", r#"{"a":"b","c":null}"#, r#"{"a":"b"}"#),
            (r"{}", r#"{"a":{"bb":{"ccc":null}}}"#, r#"{"a":{"bb":{}}}"#),
        ];
        for (base, patch, printed) in cases {
            assert_eq!(merged(base, patch).0, serde_json::from_str::<Value>(printed).unwrap(), "{base} with {patch}");
        }
    }

    #[test]
    fn items_of_a_list_are_addressed_by_what_they_are_called() {
        let base = "steps:\n  - {number: 1, do: a}\n  - {number: 2, do: b, dose: {hold: 30 s, reps: 2 reps}}\n  - {number: 4, do: d}\n";
        let patch = "steps: {\"2\": {dose: {hold: 20 s}}, \"1\": null, \"3\": {do: c}}";
        let wanted =
            r#"{"steps":[{"number":2,"do":"b","dose":{"hold":"20 s","reps":"2 reps"}},{"number":3,"do":"c"},{"number":4,"do":"d"}]}"#;
        assert_eq!(merged(base, patch), (serde_json::from_str(wanted).unwrap(), vec![]));
        let limits = "[{stressor: cold, per: session, max: 6}, {stressor: cold, per: week, max: 9}]";
        let wanted = r#"[{"stressor":"cold","per":"session","max":5},{"stressor":"cold","per":"week","max":9}]"#;
        assert_eq!(merged(limits, "{cold session: {max: 5}}"), (serde_json::from_str(wanted).unwrap(), vec![]));
    }

    #[test]
    fn what_is_not_there_cannot_be_removed_and_nameless_items_cannot_be_addressed() {
        let (value, slips) = merged("stop: [{sign: numbness, do: stop}]", "{stop: {numbnes: null}, stp: null, list: }");
        assert_eq!(value, serde_json::from_str::<Value>(r#"{"stop":[{"sign":"numbness","do":"stop"}]}"#).unwrap());
        let said: Vec<_> = slips
            .iter()
            .map(|s| match s {
                Slip::Gone { called, near, .. } => format!("{called} {near:?}"),
                other => format!("{other:?}").split(' ').next().unwrap_or_default().to_string(),
            })
            .collect();
        assert_eq!(said, ["numbnes Some(\"numbness\")", "stp Some(\"stop\")", "Unfinished"]);
        for list in ["[{text: a}, {text: b}]", "[{name: a}, {name: a}]", "[{name: a}, b]"] {
            assert!(matches!(&merged(list, "{a: {text: c}}").1[..], [Slip::Nameless { .. }]), "{list}");
        }
    }

    #[test]
    fn every_value_keeps_its_place() {
        let patch = "{a: {b: 1}, d: [2]}";
        let out = merge(Some(&tree(0, "{a: {b: 0, c: 0}, d: [0]}")), &tree(1, patch), &mut Vec::new());
        let a = out.get("a").unwrap();
        assert_eq!((a.span.file, a.get("c").unwrap().span.file), (FileId(0), FileId(0)));
        assert_eq!(&patch[a.get("b").unwrap().span.range()], "1");
        assert_eq!(out.entry("d").unwrap().0.span.file, FileId(1));
    }
}

//! A YAML document as a tree in which every key and value knows its bytes.

use super::{Span, Spanned};

/// A value with its place. A mapping's span runs from its first key to the end of its last value.
#[derive(Clone, Debug)]
pub struct Node {
    /// Where the value stands, quotes included.
    pub span: Span,
    /// What it is.
    pub kind: NodeKind,
}

/// The kinds of value that packs use. Numbers keep their written form.
#[derive(Clone, Debug)]
pub enum NodeKind {
    /// Nothing was written.
    Null,
    /// `true` or `false`.
    Bool(bool),
    /// A bare number as written.
    Number(Box<str>),
    /// Text after YAML escapes.
    Text(Box<str>),
    /// A list.
    Seq(Vec<Node>),
    /// A mapping in written order; keys are unique.
    Map(Vec<(Spanned<Box<str>>, Node)>),
}

impl Node {
    /// The value under `key`, if this is a mapping that has it.
    pub fn get(&self, key: &str) -> Option<&Node> {
        self.entry(key).map(|(_, node)| node)
    }

    /// Key and value under `key`.
    pub fn entry(&self, key: &str) -> Option<(&Spanned<Box<str>>, &Node)> {
        match &self.kind {
            NodeKind::Map(entries) => entries.iter().find(|(k, _)| &*k.value == key).map(|(k, n)| (k, n)),
            _ => None,
        }
    }

    /// Text or number as written.
    pub fn text(&self) -> Option<&str> {
        match &self.kind {
            NodeKind::Text(s) | NodeKind::Number(s) => Some(s),
            _ => None,
        }
    }

    /// The word a person would use for the kind of this value.
    pub fn kind_name(&self) -> &'static str {
        match self.kind {
            NodeKind::Null => "nothing",
            NodeKind::Bool(_) => "true or false",
            NodeKind::Number(_) => "a number",
            NodeKind::Text(_) => "text",
            NodeKind::Seq(_) => "a list",
            NodeKind::Map(_) => "a mapping",
        }
    }

    /// The same value as JSON, for schema validation.
    pub fn to_json(&self) -> serde_json::Value {
        use serde_json::Value;
        match &self.kind {
            NodeKind::Null => Value::Null,
            NodeKind::Bool(b) => Value::Bool(*b),
            NodeKind::Number(s) => json_number(s),
            NodeKind::Text(s) => Value::String(s.to_string()),
            NodeKind::Seq(items) => Value::Array(items.iter().map(Node::to_json).collect()),
            NodeKind::Map(entries) => Value::Object(entries.iter().map(|(k, n)| (k.value.to_string(), n.to_json())).collect()),
        }
    }
}

fn json_number(written: &str) -> serde_json::Value {
    if let Ok(int) = written.parse::<i64>() {
        return int.into();
    }
    written
        .parse::<f64>()
        .ok()
        .and_then(serde_json::Number::from_f64)
        .map_or_else(|| serde_json::Value::String(written.into()), serde_json::Value::Number)
}

/// JSON pointer (RFC 6901) of the innermost value, or key, that covers `span`.
pub fn pointer_at(root: &Node, span: Span) -> String {
    let mut pointer = String::new();
    let mut node = root;
    'down: loop {
        match &node.kind {
            NodeKind::Map(entries) => {
                for (key, value) in entries {
                    let at_key = key.span.contains(span);
                    if at_key || value.span.contains(span) {
                        pointer.push('/');
                        pointer.push_str(&key.value.replace('~', "~0").replace('/', "~1"));
                        if at_key {
                            return pointer;
                        }
                        node = value;
                        continue 'down;
                    }
                }
            }
            NodeKind::Seq(items) => {
                if let Some((i, item)) = items.iter().enumerate().find(|(_, n)| n.span.contains(span)) {
                    pointer.push('/');
                    pointer.push_str(&i.to_string());
                    node = item;
                    continue 'down;
                }
            }
            _ => {}
        }
        return pointer;
    }
}

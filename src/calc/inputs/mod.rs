//! The typed reader of a calculation's inputs: SI numbers out, or a located finding.
//!
//! A number stands either as a plain number under a key that ends with its unit (`start_C: 60`) or,
//! where packs have a unit for it, as text with the unit under the key without that end
//! (`start: 60 degC`); never both, never mixed. Every reader first says which keys it knows, so that
//! a key which nobody reads is found, and a misspelt key is one finding and not two. A reader that
//! gives `None` has reported why.

#![expect(clippy::option_option, reason = "the outer one: not readable, and reported; the inner one: not given")]

mod keys;
mod table;
mod value;

pub use table::Cells;

use super::rule::rule;
use crate::finding::{Finding, Level};
use crate::model::nearest;
use crate::model::unit::Dim;
use crate::source::{FileId, Node, NodeKind, Span, Text};
use std::cell::RefCell;

/// The sheet's text, and what was found wrong in one calculation.
pub struct Page<'a> {
    file: FileId,
    text: &'a str,
    findings: RefCell<Vec<Finding>>,
}

impl<'a> Page<'a> {
    /// A page without findings.
    pub fn new(file: FileId, text: &'a str) -> Self {
        Self { file, text, findings: RefCell::default() }
    }

    /// What was found.
    pub fn into_findings(self) -> Vec<Finding> {
        self.findings.into_inner()
    }

    fn report(&self, check: &'static str, at: Span, label: impl Into<String>, message: impl Into<String>, help: impl Into<String>) {
        let mut finding = Finding::new(check, Level::Error, at, label, message);
        finding.help(help);
        self.findings.borrow_mut().push(finding);
    }
}

/// A mapping that is being read.
pub struct Inputs<'a> {
    page: &'a Page<'a>,
    entries: &'a [(Text, Node)],
    /// Key under which the mapping stands.
    at: Span,
    name: &'a str,
    keys: &'static [&'static str],
}

impl<'a> Inputs<'a> {
    /// A reader of a mapping that may have `keys`; others are reported here.
    pub fn new(page: &'a Page<'a>, entries: &'a [(Text, Node)], at: Span, name: &'a str, keys: &'static [&'static str]) -> Self {
        let inputs = Self { page, entries, at, name, keys };
        inputs.unknown_keys();
        inputs
    }

    /// The same mapping with fewer keys.
    pub fn only(&self, keys: &'static [&'static str]) -> Inputs<'a> {
        Inputs::new(self.page, self.entries, self.at, self.name, keys)
    }

    /// True if something other than nothing stands under `key`.
    pub fn given(&self, key: &str) -> bool {
        self.find(key).is_some_and(|(_, node, _)| !matches!(node.kind, NodeKind::Null))
    }

    /// Refuses what stands under a key, for a reason that only the calculation knows.
    pub fn refuse<T>(&self, key: &str, label: impl Into<String>, message: impl Into<String>, help: impl Into<String>) -> Option<T> {
        let at = self.find(key).map_or(self.at, |(k, node, _)| if node.span.start == node.span.end { k.span } else { node.span });
        self.page.report("number-out-of-bounds", at, label, message, help);
        None
    }

    /// A number.
    pub fn number(&self, key: &'static str) -> Option<f64> {
        let (name, node, exact) = self.need(key)?;
        self.value(name, node, rule(key), exact)
    }

    /// A number that may be absent or `null`.
    pub fn maybe(&self, key: &'static str) -> Option<Option<f64>> {
        if self.given(key) { self.number(key).map(Some) } else { Some(None) }
    }

    /// A number, or one word that stands for a number of the calculation (`None`).
    pub fn number_or_word(&self, key: &'static str, word: &str) -> Option<Option<f64>> {
        let (_, node, exact) = self.need(key)?;
        if exact && matches!(&node.kind, NodeKind::Text(text) if &**text == word) {
            return Some(None);
        }
        self.number(key).map(Some)
    }

    /// A number, or `null` in so many words.
    pub fn nullable(&self, key: &'static str) -> Option<Option<f64>> {
        self.need(key)?;
        self.maybe(key)
    }

    /// A number between two bounds, without a unit.
    pub fn between(&self, key: &'static str, least: f64, most: f64) -> Option<f64> {
        let value = self.number(key)?;
        if (least..=most).contains(&value) {
            return Some(value);
        }
        self.refuse(key, "not possible", format!("`{key}: {value}` is outside what is possible"), format!("possible: {least} to {most}"))
    }

    /// A whole number of things, bare or with its word: `2`, `2 layers`.
    pub fn count(&self, key: &'static str, dim: Dim, least: u32, most: u32) -> Option<u32> {
        let (name, node, _) = self.need(key)?;
        let value = match &node.kind {
            NodeKind::Number(written) => written.parse().ok()?,
            _ => self.with_unit(name, node, dim)?,
        };
        let whole = (least..=most).find(|n| f64::from(*n).total_cmp(&value).is_eq());
        if whole.is_none() {
            let written = node.text().unwrap_or_default();
            let message = format!("`{key}: {written}` is outside what is possible");
            self.page.report("number-out-of-bounds", node.span, "not possible", message, format!("possible: {least} to {most}, whole"));
        }
        whole
    }

    /// True or false; false if absent.
    pub fn flag(&self, key: &'static str) -> Option<bool> {
        match self.find(key).map(|(name, node, _)| (name, node, &node.kind)) {
            None => Some(false),
            Some((_, _, NodeKind::Bool(flag))) => Some(*flag),
            Some((name, node, _)) => self.wrong_kind(name, node, "true or false"),
        }
    }

    /// A list of numbers, each above the one before it.
    pub fn rising(&self, key: &'static str, least: usize, most: usize) -> Option<Vec<f64>> {
        let values = self.numbers(key, least, most)?;
        if values.iter().zip(values.iter().skip(1)).all(|(a, b)| a < b) {
            return Some(values);
        }
        self.refuse(
            key,
            "not in rising order",
            format!("`{key}` does not rise from entry to entry"),
            "write each value once, from low to high",
        )
    }

    /// A list of numbers that goes with another of `n`.
    pub fn as_many(&self, key: &'static str, n: usize) -> Option<Vec<f64>> {
        self.numbers(key, n, n)
    }

    /// A list of numbers, from `least` to `most` of them.
    pub fn numbers(&self, key: &'static str, least: usize, most: usize) -> Option<Vec<f64>> {
        let (name, node, exact) = self.need(key)?;
        let items = self.list(name, node, least, most)?;
        let values: Vec<Option<f64>> = items.iter().map(|n| self.value(name, n, rule(key), exact)).collect();
        values.into_iter().collect()
    }

    /// A list of numbers, each a number or text that is nothing but one.
    pub fn numerals(&self, key: &'static str, least: usize, most: usize) -> Option<Vec<f64>> {
        let (name, node, _) = self.need(key)?;
        let read = |n: &Node| match n.text().and_then(|t| t.parse::<f64>().ok()).filter(|v| v.is_finite()) {
            Some(value) => Some(value),
            None => self.value(name, n, rule(key), true),
        };
        let values: Vec<Option<f64>> = self.list(name, node, least, most)?.iter().map(read).collect();
        values.into_iter().collect()
    }

    /// Text.
    pub fn text(&self, key: &'static str) -> Option<&'a str> {
        let (name, node, _) = self.need(key)?;
        let NodeKind::Text(text) = &node.kind else { return self.wrong_kind(name, node, "text") };
        Some(text)
    }

    /// A name or a number by which the reader finds a part again; handed back as it is.
    pub fn id(&self, key: &'static str) -> Option<serde_json::Value> {
        let (name, node, _) = self.need(key)?;
        if node.text().is_none() {
            return self.wrong_kind(name, node, "text or a number");
        }
        Some(node.to_json())
    }

    /// One of several words, with what it stands for.
    pub fn word<T: Copy>(&self, key: &'static str, words: &[(&str, T)]) -> Option<T> {
        let text = self.text(key)?;
        let found = words.iter().find(|(w, _)| *w == text);
        if found.is_none() {
            let known = words.iter().map(|(w, _)| *w);
            let list = known.clone().collect::<Vec<_>>().join(", ");
            self.not_listed(key, text, nearest(text, known), &format!("allowed: {list}"));
        }
        found.map(|(_, value)| *value)
    }

    /// Reports that a word is not on a list.
    pub fn not_listed(&self, key: &str, text: &str, near: Option<&str>, help: &str) {
        let at = self.find(key).map_or(self.at, |(_, node, _)| node.span);
        self.not_listed_at(at, text, &format!("`{key}`"), near, help);
    }

    /// The same for a word that is no value of a key.
    pub fn not_listed_at(&self, at: Span, text: &str, what: &str, near: Option<&str>, help: &str) {
        let label = near.map_or_else(|| "not on the list".to_string(), |n| format!("did you mean `{n}`?"));
        self.page.report("link-missing", at, label, format!("`{text}` is not known as {what}"), help);
    }

    /// Reports that too little is given.
    pub fn incomplete<T>(&self, message: &str, help: &str) -> Option<T> {
        self.page.report("schema-shape", self.at, "not enough here", message, help);
        None
    }

    /// A list of `n` texts with their places.
    pub fn texts(&self, key: &'static str, n: usize) -> Option<Vec<Text>> {
        let (name, node, _) = self.need(key)?;
        let text = |node: &Node| match &node.kind {
            NodeKind::Text(text) => Some(Text::new(text.clone(), node.span)),
            _ => self.wrong_kind(name, node, "text"),
        };
        self.list(name, node, n, n)?.iter().map(text).collect()
    }

    /// A mapping with keys of its own.
    pub fn object<T>(&self, key: &'static str, keys: &'static [&'static str], read: impl FnOnce(&Inputs<'a>) -> Option<T>) -> Option<T> {
        let (name, node, _) = self.need(key)?;
        self.nested(&name.value, name.span, node, keys).and_then(|inner| read(&inner))
    }

    /// A mapping that may be absent or `null`.
    pub fn maybe_object<T>(
        &self,
        key: &'static str,
        keys: &'static [&'static str],
        read: impl FnOnce(&Inputs<'a>) -> Option<T>,
    ) -> Option<Option<T>> {
        if self.given(key) { self.object(key, keys, read).map(Some) } else { Some(None) }
    }

    /// A list of mappings.
    pub fn objects<T>(
        &self,
        key: &'static str,
        least: usize,
        most: usize,
        keys: &'static [&'static str],
        read: impl Fn(&Inputs<'a>) -> Option<T>,
    ) -> Option<Vec<T>> {
        let (name, node, _) = self.need(key)?;
        let items = self.list(name, node, least, most)?;
        let read = |n: &'a Node| self.nested(&name.value, n.span, n, keys).and_then(|inner| read(&inner));
        let values: Vec<Option<T>> = items.iter().map(read).collect();
        values.into_iter().collect()
    }

    /// A mapping whose keys are names, each read with `read`, which is told whether the key carries
    /// the unit of the values.
    pub fn named<T>(&self, key: &'static str, read: impl Fn(&'a Text, &'a Node, bool) -> Option<T>) -> Option<Vec<T>> {
        let (name, node, exact) = self.need(key)?;
        let NodeKind::Map(entries) = &node.kind else { return self.wrong_kind(name, node, "a mapping") };
        let values: Vec<Option<T>> = entries.iter().map(|(k, n)| read(k, n, exact)).collect();
        values.into_iter().collect()
    }

    /// A value of a named mapping as a mapping with keys of its own.
    pub fn nested(&self, name: &'a str, at: Span, node: &'a Node, keys: &'static [&'static str]) -> Option<Inputs<'a>> {
        if let NodeKind::Map(entries) = &node.kind {
            return Some(Inputs::new(self.page, entries, at, name, keys));
        }
        let at = if node.span.start == node.span.end { at } else { node.span };
        self.kind_report(at, name, node, "a mapping");
        None
    }

    /// Key, value, and whether the key carries the unit.
    fn find(&self, key: &str) -> Option<(&'a Text, &'a Node, bool)> {
        let entry = |name: &str| self.entries.iter().find(|(k, _)| &*k.value == name);
        let exact = entry(key).map(|(k, n)| (k, n, true));
        exact.or_else(|| rule(key).plain(key).and_then(entry).map(|(k, n)| (k, n, false)))
    }

    fn need(&self, key: &'static str) -> Option<(&'a Text, &'a Node, bool)> {
        debug_assert!(self.keys.contains(&key), "`{key}` is read but not declared");
        let Some(found) = self.find(key) else {
            self.missing(key);
            return None;
        };
        let second = rule(key).plain(key).and_then(|p| self.entries.iter().find(|(k, _)| &*k.value == p));
        if let (true, Some((plain, _))) = (found.2, second) {
            let message = format!("`{key}` and `{}` say the same thing twice", plain.value);
            self.page.report("duplicate-key", plain.span, "given a second time", message, "keep one of the two");
            return None;
        }
        Some(found)
    }
}

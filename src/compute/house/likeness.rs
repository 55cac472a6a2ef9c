//! How much two packs say the same, whatever their documents are called.

use crate::model::content::Content;
use serde_json::Value;
use std::collections::BTreeMap;

/// From here on a pack is taken for a copy. A choice of ours, not a measurement.
pub const NEAR: f64 = 0.8;

/// Another pack that is like one of these.
#[derive(Clone, Debug)]
pub struct Likeness {
    /// Id of the pack.
    pub pack: Box<str>,
    /// Where the other one is, as shown to people.
    pub other: String,
    /// From 0 to 1.
    pub share: f64,
}

/// What a pack says, as values with their keys, each with how often it is said.
#[derive(Clone, Debug, Default)]
pub struct Said(BTreeMap<String, usize>);

impl Said {
    /// Adds a document.
    pub fn add(&mut self, content: &Content) {
        self.walk("", content.value());
    }

    fn walk(&mut self, key: &str, value: &Value) {
        match value {
            Value::Object(entries) => entries.iter().for_each(|(k, v)| self.walk(k, v)),
            Value::Array(items) => items.iter().for_each(|v| self.walk(key, v)),
            Value::Null => {}
            leaf => *self.0.entry(format!("{key}: {leaf}")).or_default() += 1,
        }
    }

    /// The share of what both say: twice the common part over all (the coefficient of L. R. Dice, Ecology 26 (1945)
    /// 297-302, cited from memory).
    pub fn likeness(&self, other: &Said) -> f64 {
        let common: usize = self.0.iter().map(|(k, n)| (*n).min(other.0.get(k).copied().unwrap_or(0))).sum();
        let all: usize = self.0.values().chain(other.0.values()).sum();
        if all == 0 { 0.0 } else { 2.0 * crate::compute::evidence::len(common) / crate::compute::evidence::len(all) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn said(all: &[Value]) -> Said {
        let mut said = Said::default();
        all.iter().for_each(|v| said.add(&Content::from_value(v.clone())));
        said
    }

    #[test]
    fn order_and_names_of_documents_change_nothing_and_values_do() {
        let (a, b) = (json!({"name": "Heat", "stop": [{"sign": "x"}, {"sign": "y"}]}), json!({"name": "Cold"}));
        let one = said(&[a.clone(), b.clone()]);
        let near = |other: &Said, wanted: f64| (one.likeness(other) - wanted).abs() < 1e-12;
        assert!(near(&said(&[b.clone(), a]), 1.0));
        assert!(near(&said(&[b]), 0.4), "1 of 4 and 1");
        assert!(near(&said(&[json!({"name": "Ice"})]), 0.0) && near(&Said::default(), 0.0));
    }
}

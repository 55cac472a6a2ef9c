//! Keys: which are known, which are missing, which nobody reads.

use super::Inputs;
use crate::calc::rule::rule;
use crate::model::nearest;
use crate::source::Text;

impl<'a> Inputs<'a> {
    pub(super) fn missing(&self, key: &str) {
        let plain = rule(key).plain(key);
        let means = |near: &str| near == key || Some(near) == plain;
        if self.strangers().any(|k| self.near(&k.value).is_some_and(means)) {
            return;
        }
        let help = match plain {
            Some(plain) => format!("add `{key}:` with a number, or `{plain}: {}`", rule(key).example),
            None => format!("add `{key}:`"),
        };
        let message = format!("`{}` has no `{key}`", self.name);
        self.page.report("schema-shape", self.at, format!("`{key}` is missing here"), message, help);
    }

    pub(super) fn known(&self) -> impl Iterator<Item = &'static str> {
        self.keys.iter().copied().chain(self.keys.iter().filter_map(|k| rule(k).plain(k)))
    }

    pub(super) fn near(&self, word: &str) -> Option<&'static str> {
        nearest(word, self.known())
    }

    /// Keys that nobody reads.
    pub(super) fn strangers(&self) -> impl Iterator<Item = &'a Text> {
        self.entries.iter().map(|(k, _)| k).filter(|k| self.known().all(|known| known != &*k.value))
    }

    pub(super) fn unknown_keys(&self) {
        for key in self.strangers() {
            let near = self.near(&key.value);
            let label = near.map_or_else(|| "not a key of this place".to_string(), |n| format!("did you mean `{n}`?"));
            let help = near.map_or_else(|| format!("known keys here: {}", self.keys.join(", ")), |n| format!("write `{n}:`"));
            self.page.report("unknown-key", key.span, label, format!("`{}` is not a known key", key.value), help);
        }
    }
}

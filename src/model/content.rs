//! What a document says, apart from how it is written: the form over which digests are taken and editions are compared.
//!
//! Keys are sorted, quantities are in base units, text is in normal form C with single blanks. Comments, the order of
//! keys, line breaks and the name of the file are outside it, and so are the keys that say where a document stands in
//! its life. What a document rests on is no part of it; see `compute/currency`.

use super::quantity;
use crate::source::{Node, NodeKind};
use serde_json::{Map, Number, Value};
use sha2::{Digest as _, Sha256};
use std::fmt;
use std::sync::Arc;
use unicode_normalization::UnicodeNormalization;

/// Keys of any document that are not what it says: its name, and where it stands in its life.
pub const ASIDE: [&str; 7] = ["id", "status", "review-by", "because", "since", "successor", "author"];

/// Key that marks a quantity in base units; no pack has it, since keys are lower case.
pub const QUANTITY: &str = "Quantity";

/// SHA-256 of something (FIPS 180-4).
#[derive(Copy, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Digest(pub [u8; 32]);

impl Digest {
    /// Of these bytes.
    pub fn of(bytes: &[u8]) -> Digest {
        Digest(Sha256::digest(bytes).into())
    }

    /// Of a value in its canonical form (RFC 8785).
    pub fn of_value(value: &Value) -> Digest {
        Digest::of(&canonical(value))
    }

    /// Reads 64 hexadecimal digits in lower case.
    pub fn read(text: &str) -> Option<Digest> {
        let mut out = [0; 32];
        if text.len() != 64 || !text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f')) {
            return None;
        }
        for (byte, pair) in out.iter_mut().zip(text.as_bytes().chunks(2)) {
            *byte = u8::from_str_radix(std::str::from_utf8(pair).ok()?, 16).ok()?;
        }
        Some(Digest(out))
    }

    /// The first twelve digits, for people.
    pub fn short(&self) -> String {
        self.to_string().chars().take(12).collect()
    }
}

impl fmt::Display for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|b| write!(f, "{b:02x}"))
    }
}

impl serde::Serialize for Digest {
    fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

impl<'de> serde::Deserialize<'de> for Digest {
    fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let text = String::deserialize(from)?;
        Digest::read(&text).ok_or_else(|| serde::de::Error::custom(format!("`{text}` is no digest: 64 hexadecimal digits")))
    }
}

impl fmt::Debug for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{self}")
    }
}

/// A value as RFC 8785 writes it. A value that JSON cannot hold does not arise: numbers are finite and keys are text.
pub fn canonical(value: &Value) -> Vec<u8> {
    serde_json_canonicalizer::to_vec(value).unwrap_or_default()
}

/// What a document says.
#[derive(Clone, PartialEq, Default)]
pub struct Content(Arc<Value>);

impl fmt::Debug for Content {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0)
    }
}

impl serde::Serialize for Content {
    fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        self.0.serialize(to)
    }
}

impl<'de> serde::Deserialize<'de> for Content {
    fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        Value::deserialize(from).map(Content::from_value)
    }
}

impl Content {
    /// Of the tree of a document.
    pub fn of(root: &Node) -> Content {
        let mut value = normal(root);
        if let Value::Object(map) = &mut value {
            map.retain(|key, _| !ASIDE.contains(&key.as_str()));
        }
        Content(Arc::new(value))
    }

    /// Of a page of Markdown.
    pub fn of_text(text: &str) -> Content {
        Content(Arc::new(Value::Object(Map::from_iter([("text".to_string(), Value::String(plain(text)))]))))
    }

    /// A part of what was said before, kept as JSON.
    pub fn from_value(value: Value) -> Content {
        Content(Arc::new(value))
    }

    /// As JSON.
    pub fn value(&self) -> &Value {
        &self.0
    }

    /// The same with these keys alone.
    pub fn only(&self, keys: &[&str]) -> Content {
        let entries = self.0.as_object().into_iter().flatten();
        Content(Arc::new(Value::Object(entries.filter(|(k, _)| keys.contains(&k.as_str())).map(|(k, v)| (k.clone(), v.clone())).collect())))
    }

    /// True if it has this value, or a text with these words.
    pub fn says(&self, text: &str) -> bool {
        let words = plain(text);
        holds(&self.0, &|value| amount(text).is_some_and(|a| *value == a) || value.as_str().is_some_and(|s| s.contains(&words)))
    }

    /// Its digest.
    pub fn digest(&self) -> Digest {
        Digest::of_value(&self.0)
    }
}

fn holds(value: &Value, is: &dyn Fn(&Value) -> bool) -> bool {
    is(value)
        || match value {
            Value::Array(items) => items.iter().any(|v| holds(v, is)),
            Value::Object(map) => map.values().any(|v| holds(v, is)),
            _ => false,
        }
}

fn normal(node: &Node) -> Value {
    match &node.kind {
        NodeKind::Null => Value::Null,
        NodeKind::Bool(b) => Value::Bool(*b),
        NodeKind::Number(written) => match node.to_json() {
            Value::Number(number) => Value::Number(number),
            _ => Value::String(written.to_string()),
        },
        NodeKind::Text(text) => amount(text).unwrap_or_else(|| Value::String(plain(text))),
        NodeKind::Seq(items) => Value::Array(items.iter().map(normal).collect()),
        NodeKind::Map(entries) => {
            let mut said: Vec<_> = entries.iter().map(|(k, n)| (k.value.to_string(), normal(n))).filter(|(_, v)| !v.is_null()).collect();
            said.sort_by(|a, b| a.0.cmp(&b.0));
            Value::Object(said.into_iter().collect())
        }
    }
}

/// Text in normal form C, with single blanks.
fn plain(text: &str) -> String {
    let joined = text.split_whitespace().collect::<Vec<_>>().join(" ");
    joined.nfc().collect()
}

/// A text that is a quantity, in base units. `until release` keeps its words.
fn amount(text: &str) -> Option<Value> {
    let read = quantity::parse(text).ok().filter(|_| !text.trim_start().starts_with("until"))?;
    let base = read.base();
    let end = |x: f64| twelve(x).map_or_else(|| Value::String("open".into()), Value::Number);
    let parts = [("least", end(base.lo)), ("most", end(base.hi)), (QUANTITY, Value::String(read.dim().word().into()))];
    Some(Value::Object(parts.into_iter().map(|(k, v)| (k.to_string(), v)).collect()))
}

/// A number to twelve figures, so that `1.2 min` and `72 s` are one; `None` for an open end.
fn twelve(x: f64) -> Option<Number> {
    let rounded: f64 = format!("{x:.11e}").parse().ok()?;
    Number::from_f64(if rounded == 0.0 { 0.0 } else { rounded })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::yaml;
    use crate::source::FileId;
    use proptest::prelude::*;

    fn content(text: &str) -> Content {
        Content::of(&yaml::parse(FileId(0), text).root.expect("is YAML"))
    }

    #[test]
    fn how_a_document_is_written_is_outside_its_content() {
        let one = content("id: x\nname: Heat\nlimits:\n  - {max: 20 min, why: \"A  long\\n text\"}\ntime: 72 s\n");
        let same = [
            "# A comment.\nname:   Heat\nid: y\ntime: 1.2 min\nlimits:\n- why: A long text\n  max: 1200 s\n",
            "status: in review\nreview-by: 2027-01-01\nlimits: [{max: 20 min, why: A long text}]\nname: Heat\nnotes: ~\ntime: 72 s\nid: x\n",
        ];
        for text in same {
            assert_eq!(content(text).digest(), one.digest(), "{text}");
        }
        for text in [
            "name: Heat\nlimits: [{max: 21 min, why: A long text}]\ntime: 72 s\n",
            "name: heat\nlimits: [{max: 20 min, why: A long text}]\ntime: 72 s\n",
        ] {
            assert_ne!(content(text).digest(), one.digest(), "{text}");
        }
    }

    #[test]
    fn normal_form_c_makes_two_spellings_of_a_letter_one() {
        assert_eq!(content("name: \"caf\\u00e9\"").digest(), content("name: \"cafe\\u0301\"").digest());
        assert_ne!(content("time: until release").digest(), content("time: until warm").digest());
    }

    /// RFC 8785, section 3.2.4: the sample object of section 3.2.2 and its octets. Keys are compared as UTF-16.
    #[test]
    fn the_sample_of_rfc_8785_comes_out_as_printed() {
        let sample = r#"{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
            "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/", "literals": [null, true, false]}"#;
        let printed =
            r#"{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\u000f\nA'B\"\\\\\"/"}"#;
        assert_eq!(String::from_utf8(canonical(&serde_json::from_str(sample).unwrap())).unwrap(), printed);
        let order = r#"{"\u20ac": "Euro Sign", "\r": "Carriage Return", "\ufb33": "Hebrew Letter Dalet With Dagesh", "1": "One",
            "\ud83d\ude00": "Emoji: Grinning Face", "\u0080": "Control", "\u00f6": "Latin Small Letter O With Diaeresis"}"#;
        let text = String::from_utf8(canonical(&serde_json::from_str(order).unwrap())).unwrap();
        let places: Vec<_> = ["Carriage", "One", "Control", "Latin", "Euro", "Emoji", "Hebrew"].map(|w| text.find(w).unwrap()).into();
        assert!(places.is_sorted(), "{text}");
    }

    /// FIPS 180-4 examples by NIST, "SHA256.pdf" of the cryptographic standards and guidelines: one block, two blocks.
    #[test]
    fn digests_are_sha_256() {
        let cases = [
            ("abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
            (
                "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
                "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
            ),
        ];
        for (text, hex) in cases {
            assert_eq!(Digest::of(text.as_bytes()).to_string(), hex);
            assert_eq!(Digest::read(hex), Some(Digest::of(text.as_bytes())));
        }
        for bad in [
            "",
            "BA7816BF8F01CFEA414140DE5DAE2223B00361A396177A9CB410FF61F20015AD",
            "é7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
        ] {
            assert_eq!(Digest::read(bad), None, "{bad}");
        }
    }

    proptest! {
        #[test]
        fn minutes_and_seconds_are_one(tenths in 1u32..5000) {
            let (s, min) = (content(&format!("t: {} s", tenths * 6)), content(&format!("t: {} min", f64::from(tenths) / 10.0)));
            prop_assert_eq!(s.digest(), min.digest());
        }
    }
}

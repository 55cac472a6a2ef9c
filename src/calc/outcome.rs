//! What a calculation gives: named numbers in the order in which they are told, and notes.

use serde_json::{Map, Value};

/// The result of one calculation.
#[derive(Debug, Default)]
pub struct Outcome {
    /// Names as in the reference files; `null` is "undefined" or "never".
    pub result: Map<String, Value>,
    /// The answer as lines of cells under a line of heads, where the result is too long to find it; it repeats the result.
    pub answer: Vec<Vec<Value>>,
    /// What a reader of the numbers has to know.
    pub notes: Vec<String>,
}

impl Outcome {
    /// Adds a number.
    pub fn number(&mut self, key: &str, value: f64) -> &mut Self {
        self.put(key, number(value))
    }

    /// Adds a number that may be undefined or never come.
    pub fn maybe(&mut self, key: &str, value: Option<f64>) -> &mut Self {
        self.put(key, value.map_or(Value::Null, number))
    }

    /// Adds a list.
    pub fn numbers(&mut self, key: &str, values: &[f64]) -> &mut Self {
        self.put(key, values.iter().copied().map(number).collect())
    }

    /// Adds anything.
    pub fn put(&mut self, key: &str, value: Value) -> &mut Self {
        self.result.insert(key.to_string(), value);
        self
    }

    /// Adds a note.
    pub fn note(&mut self, text: impl Into<String>) -> &mut Self {
        self.notes.push(text.into());
        self
    }
}

/// A number with its full precision; what is not finite is undefined.
pub fn number(value: f64) -> Value {
    // A negative zero is a slip of arithmetic that would only puzzle.
    serde_json::Number::from_f64(value + 0.0).map_or(Value::Null, Value::Number)
}

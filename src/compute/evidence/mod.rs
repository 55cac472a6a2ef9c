//! Statistics of evidence and of measurement: effects, pooling, agreement, error of measurement, test
//! accuracy.
//!
//! Programs and books differ in the variant of nearly every formula here, so each result carries the
//! name of its variant, and none is chosen in silence. Everything is a plain number on a named scale;
//! what cannot be computed is a [`Refusal`] that says which input stands in the way, or `None` where the
//! value does not exist. Nothing is ever "not a number". Nothing here judges a result.

pub mod accuracy;
pub mod agreement;
pub mod dist;
pub mod effect;
pub mod pool;
pub mod refusal;
mod root;

pub use dist::Level;
pub use effect::{Effect, Scale};
pub use pool::{IntervalMethod, Pooled, PredictionMethod, TauMethod, pool};
pub use refusal::Refusal;

/// The two ends of an interval.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Interval {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Interval {
    /// Around a centre.
    pub fn around(centre: f64, half_width: f64) -> Self {
        Self { low: centre - half_width, high: centre + half_width }
    }

    /// Both ends through a rising function.
    pub fn map(self, of: impl Fn(f64) -> f64) -> Self {
        Self { low: of(self.low), high: of(self.high) }
    }

    /// True if `value` lies inside or on an end.
    pub fn holds(self, value: f64) -> bool {
        (self.low..=self.high).contains(&value)
    }
}

/// A value with its interval.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Estimate {
    /// The value.
    pub value: f64,
    /// Its interval.
    pub interval: Interval,
}

/// The number of a list or of its parts, as a number to reckon with.
#[expect(clippy::cast_precision_loss, reason = "no list is so long that its length would be rounded")]
pub(crate) fn len(n: usize) -> f64 {
    n as f64
}

/// The result if it is a number that can be told, or a refusal.
fn told(value: f64, what: &'static str) -> Result<f64, Refusal> {
    if value.is_finite() { Ok(value) } else { Err(Refusal::OutOfRange { what }) }
}

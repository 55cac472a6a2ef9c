//! A proportion of people, and intervals that keep within 0 to 1.

use super::{Effect, Scale};
use crate::compute::evidence::dist::beta_quantile;
use crate::compute::evidence::refusal::{count, events};
use crate::compute::evidence::{Interval, Level, Refusal};

/// Which formula.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum ProportionVariant {
    /// As it is; 0.5 added to events and others when one of them is 0.
    Raw,
    /// As it is, whatever it is.
    RawAsCounted,
    /// Logit; 0.5 added to events and others when one of them is 0.
    Logit,
    /// asin sqrt(x/n), variance 1/(4n).
    Arcsine,
    /// Half of asin sqrt(x/(n+1)) + asin sqrt((x+1)/(n+1)), variance 1/(4n+2).
    DoubleArcsine,
}

impl ProportionVariant {
    fn name(self, corrected: bool) -> &'static str {
        match (self, corrected) {
            (Self::Raw, true) => "proportion, 0.5 added to events and to the others",
            (Self::Raw | Self::RawAsCounted, _) => "proportion, as counted",
            (Self::Logit, false) => "logit, as counted",
            (Self::Logit, true) => "logit, 0.5 added to events and to the others",
            (Self::Arcsine, _) => "arcsine, variance 1/(4n)",
            (Self::DoubleArcsine, _) => "double arcsine, halved, variance 1/(4n+2)",
        }
    }
}

fn checked(x: f64, n: f64) -> Result<(), Refusal> {
    count("n", n, 1.0)?;
    events("x", x, "n", n).map(drop)
}

/// The effect by one formula, of `x` events among `n` people.
///
/// # Errors
/// If an input is impossible.
pub fn proportion(x: f64, n: f64, variant: ProportionVariant) -> Result<Effect, Refusal> {
    use ProportionVariant as V;
    checked(x, n)?;
    let correct = (x <= 0.0 || x >= n) && matches!(variant, V::Raw | V::Logit);
    let (x, n) = if correct { (x + 0.5, n + 1.0) } else { (x, n) };
    let p = x / n;
    let arcsine = |share: f64| share.sqrt().asin();
    let (scale, value, variance) = match variant {
        V::Raw | V::RawAsCounted => (Scale::Proportion, p, p * (1.0 - p) / n),
        V::Logit => (Scale::LogitProportion, (x / (n - x)).ln(), 1.0 / x + 1.0 / (n - x)),
        V::Arcsine => (Scale::ArcsineProportion, arcsine(p), 1.0 / (4.0 * n)),
        V::DoubleArcsine => {
            let half = f64::midpoint(arcsine(x / (n + 1.0)), arcsine((x + 1.0) / (n + 1.0)));
            (Scale::DoubleArcsineProportion, half, 1.0 / (4.0 * n + 2.0))
        }
    };
    Effect::computed(scale, value, variance, variant.name(correct), "x")
}

/// Score interval without continuity correction (Wilson 1927), within 0 to 1.
///
/// # Errors
/// If an input is impossible.
pub fn wilson(x: f64, n: f64, level: Level) -> Result<Interval, Refusal> {
    checked(x, n)?;
    Ok(wilson_of(x, n, level))
}

pub(crate) fn wilson_of(x: f64, n: f64, level: Level) -> Interval {
    let z = level.z();
    let (z2, others) = (z * z, n - x);
    let half = z * (x * (others / n) + z2 / 4.0).sqrt();
    let of = |sign: f64| ((x + z2 / 2.0 + sign * half) / (n + z2)).clamp(0.0, 1.0);
    // At either end the root is exact and the sum would leave a last digit standing.
    Interval { low: if x <= 0.0 { 0.0 } else { of(-1.0) }, high: if others <= 0.0 { 1.0 } else { of(1.0) } }
}

/// Exact interval (Clopper and Pearson 1934).
///
/// # Errors
/// If an input is impossible.
pub fn clopper_pearson(x: f64, n: f64, level: Level) -> Result<Interval, Refusal> {
    checked(x, n)?;
    let tail = level.tail();
    Ok(Interval {
        low: if x <= 0.0 { 0.0 } else { beta_quantile(tail, x, n - x + 1.0) },
        high: if x >= n { 1.0 } else { beta_quantile(1.0 - tail, x + 1.0, n - x) },
    })
}

/// Interval of Agresti and Coull 1998: z^2/2 added to events and to the others; it may leave 0 to 1.
///
/// # Errors
/// If an input is impossible.
pub fn agresti_coull(x: f64, n: f64, level: Level) -> Result<Interval, Refusal> {
    checked(x, n)?;
    let z = level.z();
    let (x, n) = (x + z * z / 2.0, n + z * z);
    let p = x / n;
    Ok(Interval::around(p, z * (p * (1.0 - p) / n).sqrt()))
}

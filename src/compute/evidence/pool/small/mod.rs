//! Do small studies tell another story than large ones? Regression, rank correlation, and what would be
//! missing on one side if nothing but a gap in the funnel were the matter.
//!
//! Egger M et al, BMJ 1997;315:629-634; Begg CB, Mazumdar M, Biometrics 1994;50:1088-1101; Duval S,
//! Tweedie R, Biometrics 2000;56:455-463 (from memory; the numbers are held against
//! `tests/reference/evidence`). None of the three can tell a gap from true differences between studies,
//! and with fewer than ten studies they rarely tell anything.

mod ranks;
mod trim;

pub use ranks::{RankTest, begg};
pub use trim::{Side, TRIM_AND_FILL, Trimmed, trim_and_fill};

use crate::compute::evidence::dist::t_two_sided;
use crate::compute::evidence::{Effect, Interval, Level, Refusal, len, told};

/// Regression of effects on their standard errors.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Egger {
    /// Slope on the standard error: the same number as the intercept of the original form, in which
    /// effect over standard error is regressed on precision.
    pub bias: f64,
    /// Its standard error.
    pub bias_se: f64,
    /// The slope over its standard error; `None` when the points lie on a line.
    pub t: Option<f64>,
    /// Degrees of freedom, k - 2.
    pub df: f64,
    /// Two-sided p.
    pub p: Option<f64>,
    /// 95 % interval of the slope.
    pub bias_interval: Interval,
    /// Effect of a study without error: the slope of the original form.
    pub limit: f64,
    /// Its standard error.
    pub limit_se: f64,
    /// Its 95 % interval.
    pub limit_interval: Interval,
}

/// Variant of [`egger`].
pub const EGGER: &str = "weighted regression on the standard error, weights 1/v, free dispersion, t with k-2";

/// The regression.
///
/// # Errors
/// As a pool; with fewer than three studies; when all standard errors are equal.
pub fn egger(effects: &[Effect]) -> Result<Egger, Refusal> {
    at_least_three(effects)?;
    let k = len(effects.len());
    let precision: Vec<f64> = effects.iter().map(|e| 1.0 / e.se()).collect();
    let scores: Vec<f64> = effects.iter().map(|e| e.value / e.se()).collect();
    let mean = |of: &[f64]| of.iter().sum::<f64>() / k;
    let (x0, y0) = (mean(&precision), mean(&scores));
    let points = || precision.iter().zip(&scores).map(|(x, y)| (x - x0, y - y0));
    let across: f64 = points().map(|(x, _)| x * x).sum();
    // Equal standard errors differ by no more than the last digits of their sums.
    if across <= 1e-24 * k * x0 * x0 {
        return Err(Refusal::Undefined { what: "studies", because: "all standard errors are equal" });
    }
    let limit = points().map(|(x, y)| x * y).sum::<f64>() / across;
    let left: f64 = points().map(|(x, y)| (y - limit * x).powi(2)).sum();
    let (df, bias) = (k - 2.0, y0 - limit * x0);
    let spread = left / df;
    let (bias_se, limit_se) = ((spread * (1.0 / k + x0 * x0 / across)).sqrt(), (spread / across).sqrt());
    let t = Some(bias / bias_se).filter(|t| t.is_finite());
    let quantile = Level::P95.t(df);
    Ok(Egger {
        bias: told(bias, "studies")?,
        bias_se: told(bias_se, "studies")?,
        t,
        df,
        p: t.map(|t| t_two_sided(t, df)),
        bias_interval: Interval::around(bias, quantile * bias_se),
        limit: told(limit, "studies")?,
        limit_se: told(limit_se, "studies")?,
        limit_interval: Interval::around(limit, quantile * limit_se),
    })
}

fn at_least_three(effects: &[Effect]) -> Result<(), Refusal> {
    super::Studies::new(effects)?;
    if effects.len() < 3 { Err(Refusal::TooFew { what: "studies", least: 3, found: effects.len() }) } else { Ok(()) }
}

//! Limits of agreement of two methods on the same people.
//!
//! Bland JM, Altman DG, Lancet 1986;1:307-310 and Stat Methods Med Res 1999;8:135-160; exact intervals of
//! the limits: Carkeet A, Optom Vis Sci 2015;92:e71-e80 (from memory; held against
//! `tests/reference/evidence`).

use super::error::variance;
use crate::compute::evidence::dist::{ln_gamma, normal_below};
use crate::compute::evidence::refusal::finite;
use crate::compute::evidence::{Interval, Level, Refusal, len, root, told};

/// Intervals of the two limits by one method.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct OfLimits {
    /// Of the lower limit.
    pub lower: Interval,
    /// Of the upper limit.
    pub upper: Interval,
}

/// Limits of agreement.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Limits {
    /// People.
    pub n: f64,
    /// Mean of first less second.
    pub bias: f64,
    /// Standard deviation of the differences.
    pub sd: f64,
    /// Standard error of the bias.
    pub bias_se: f64,
    /// Its interval by t with n - 1.
    pub bias_interval: Interval,
    /// Bias -/+ z SD with the exact z.
    pub limits: Interval,
    /// Bias -/+ 2 SD, as in the paper of 1986.
    pub limits_2sd: Interval,
    /// Standard error sqrt(3 s^2/n), t with n - 1 (1986).
    pub rough: OfLimits,
    /// That standard error.
    pub rough_se: f64,
    /// Standard error s sqrt(1/n + z^2/(2(n-1))), t with n - 1 (1999).
    pub better: OfLimits,
    /// That standard error.
    pub better_se: f64,
    /// Exact, by the non-central t.
    pub exact: OfLimits,
    /// Standard deviations from the bias to the inner end of the exact interval.
    pub k_inner: f64,
    /// The same to the outer end.
    pub k_outer: f64,
    /// z SD of the differences.
    pub repeatability: f64,
}

/// Limits of agreement of two lists of readings of the same people.
///
/// # Errors
/// With fewer than two people, or lists of unequal length.
pub fn limits(a: &[f64], b: &[f64], level: Level) -> Result<Limits, Refusal> {
    if a.len() != b.len() {
        return Err(Refusal::Uneven { what: "b", row: 0, wanted: a.len(), found: b.len() });
    }
    if a.len() < 2 {
        return Err(Refusal::TooFew { what: "a", least: 2, found: a.len() });
    }
    for (a, b) in a.iter().zip(b) {
        finite("a", *a)?;
        finite("b", *b)?;
    }
    let differences: Vec<f64> = a.iter().zip(b).map(|(a, b)| a - b).collect();
    let n = len(differences.len());
    let bias = told(differences.iter().sum::<f64>() / n, "a")?;
    let sd = told(variance(&differences).sqrt(), "a")?;
    let (normal, student) = (level.z(), level.t(n - 1.0));
    let limits = Interval::around(bias, normal * sd);
    let (rough_se, better_se) = (sd * (3.0 / n).sqrt(), sd * (1.0 / n + normal * normal / (2.0 * (n - 1.0))).sqrt());
    let by = |se: f64| OfLimits { lower: Interval::around(limits.low, student * se), upper: Interval::around(limits.high, student * se) };
    let end = |p: f64| noncentral_t(p, n - 1.0, normal * n.sqrt()) / n.sqrt();
    let (k_inner, k_outer) = (end(level.tail()), end(1.0 - level.tail()));
    let exact = OfLimits {
        lower: Interval { low: bias - k_outer * sd, high: bias - k_inner * sd },
        upper: Interval { low: bias + k_inner * sd, high: bias + k_outer * sd },
    };
    Ok(Limits {
        n,
        bias,
        sd,
        bias_se: sd / n.sqrt(),
        bias_interval: Interval::around(bias, student * sd / n.sqrt()),
        limits,
        limits_2sd: Interval::around(bias, 2.0 * sd),
        rough: by(rough_se),
        rough_se,
        better: by(better_se),
        better_se,
        exact,
        k_inner,
        k_outer,
        repeatability: normal * sd,
    })
}

/// Quantile of the non-central t with a shift above 0.
fn noncentral_t(p: f64, df: f64, shift: f64) -> f64 {
    let off = |t: f64| noncentral_t_below(t, df, shift) - p;
    let mut step = shift.max(1.0);
    let (mut low, mut high) = (shift - step, shift + step);
    while off(low) > 0.0 && step < 1e9 {
        step *= 2.0;
        low -= step;
    }
    while off(high) < 0.0 && step < 1e9 {
        step *= 2.0;
        high += step;
    }
    root::between(off, low, high)
}

/// Probability of less than `t`: a normal shifted by `shift`, over s = sqrt(chi square/df). The mean of
/// Phi(t s - shift) over s, by the trapezoidal rule in ln s, which converges faster than any power there.
fn noncentral_t_below(t: f64, df: f64, shift: f64) -> f64 {
    let half = df / 2.0;
    // Logarithm of the density of ln s.
    let front = std::f64::consts::LN_2 + half * half.ln() - ln_gamma(half);
    let density = |x: f64| (front + df * x - half * (2.0 * x).exp()).exp();
    // The density is as wide as 1/sqrt(2 df), and where t s passes the shift, Phi turns within 1/shift.
    let step = 0.1 / (df + shift * shift + 1.0).sqrt();
    let mut sum = 0.0;
    for way in [-1.0, 1.0] {
        let mut x = if way > 0.0 { 0.0 } else { -step };
        loop {
            let share = density(x);
            sum += share * normal_below(t * x.exp() - shift);
            x += way * step;
            if share < 1e-18 {
                break;
            }
        }
    }
    sum * step
}

#[cfg(test)]
mod tests {
    use super::*;

    /// scipy 1.17.1, `stats.nct.ppf` (its root finding is good to about 1e-11).
    #[test]
    fn the_noncentral_t_agrees_with_another_library() {
        for (p, df, shift, want) in NONCENTRAL {
            let got = noncentral_t(p, df, shift);
            assert!((got - want).abs() < 1e-9 * want, "{p} {df} {shift}: {got}, expected {want}");
        }
    }

    const NONCENTRAL: [(f64, f64, f64, f64); 4] = [
        (0.975, 1.0, 2.771_807_648_699_356, 88.469_874_966_238_05),
        (0.025, 4.0, 4.382_612_702_882_908, 2.064_259_380_531_959_6),
        (0.975, 29.0, 10.735_164_862_302_943, 15.098_464_455_592_454),
        (0.025, 999.0, 61.979_503_230_456_15, 58.748_794_880_022_36),
    ];
}

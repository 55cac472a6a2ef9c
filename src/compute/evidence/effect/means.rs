//! Two groups with means and standard deviations.
//!
//! Exact J: Hedges LV, J Educ Stat 1981;6:107-128. The other variants name their books: Borenstein M et
//! al, Introduction to Meta-Analysis, 2009, chapter 4; Cochrane Handbook, statistical methods. Titles
//! from memory; the numbers are held against `tests/reference/evidence`.

use super::{Effect, Scale, TInterval};
use crate::compute::evidence::dist::ln_gamma;
use crate::compute::evidence::refusal::{at_least, count, finite};
use crate::compute::evidence::{Interval, Level, Refusal};

/// Two groups; the effect is group 1 less group 2.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct TwoMeans {
    /// People in group 1.
    pub n1: f64,
    /// Mean of group 1.
    pub m1: f64,
    /// Standard deviation of group 1, not its standard error.
    pub sd1: f64,
    /// People in group 2.
    pub n2: f64,
    /// Mean of group 2.
    pub m2: f64,
    /// Standard deviation of group 2.
    pub sd2: f64,
}

/// Which formula.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum MeansVariant {
    /// Mean difference, each group with its own variance.
    Difference,
    /// Mean difference, one variance for both.
    DifferencePooled,
    /// Cohen's d, without correction for small samples.
    CohenD,
    /// Hedges' g, exact J, variance 1/n1 + 1/n2 + g^2/(2 N).
    HedgesExact,
    /// Hedges' g, exact J, unbiased variance.
    HedgesUnbiased,
    /// Hedges' g, J = 1 - 3/(4 m - 1), variance J^2 times that of d.
    HedgesJSquared,
    /// Hedges' g, J = 1 - 3/(4 N - 9), variance with 2 (N - 3.94).
    HedgesCochrane,
}

impl MeansVariant {
    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Difference => "mean difference, each group with its own variance",
            Self::DifferencePooled => "mean difference, one pooled variance",
            Self::CohenD => "Cohen's d, no correction for small samples",
            Self::HedgesExact => "Hedges' g, exact J, variance 1/n1 + 1/n2 + g^2/(2N)",
            Self::HedgesUnbiased => "Hedges' g, exact J, unbiased variance",
            Self::HedgesJSquared => "Hedges' g, J = 1 - 3/(4m-1), variance J^2 times that of d",
            Self::HedgesCochrane => "Hedges' g, J = 1 - 3/(4N-9), variance with 2(N-3.94)",
        }
    }
}

impl TwoMeans {
    fn checked(&self) -> Result<(), Refusal> {
        count("n1", self.n1, 2.0)?;
        count("n2", self.n2, 2.0)?;
        finite("m1", self.m1)?;
        finite("m2", self.m2)?;
        at_least("sd1", self.sd1, 0.0)?;
        at_least("sd2", self.sd2, 0.0)?;
        Ok(())
    }

    fn df(&self) -> f64 {
        self.n1 + self.n2 - 2.0
    }

    fn pooled_variance(&self) -> f64 {
        ((self.n1 - 1.0) * self.sd1.powi(2) + (self.n2 - 1.0) * self.sd2.powi(2)) / self.df()
    }

    /// The standard deviation of both groups together.
    ///
    /// # Errors
    /// If an input is impossible.
    pub fn pooled_sd(&self) -> Result<f64, Refusal> {
        self.checked()?;
        super::told(self.pooled_variance().sqrt(), "sd1")
    }
}

/// The effect by one formula.
///
/// # Errors
/// If an input is impossible, or nothing spreads and the difference cannot be standardised.
pub fn means(of: &TwoMeans, variant: MeansVariant) -> Result<Effect, Refusal> {
    use MeansVariant as V;
    of.checked()?;
    let difference = of.m1 - of.m2;
    let (n, share, m) = (of.n1 + of.n2, 1.0 / of.n1 + 1.0 / of.n2, of.df());
    if matches!(variant, V::Difference | V::DifferencePooled) {
        let variance = match variant {
            V::Difference => of.sd1.powi(2) / of.n1 + of.sd2.powi(2) / of.n2,
            _ => of.pooled_variance() * share,
        };
        return Effect::computed(Scale::MeanDifference, difference, variance, variant.name(), "sd1");
    }
    let sd = of.pooled_sd()?;
    if sd <= 0.0 {
        return Err(Refusal::Undefined { what: "sd1", because: "neither group has any spread" });
    }
    let d = difference / sd;
    let variance_d = share + d.powi(2) / (2.0 * n);
    let (value, variance) = match variant {
        V::CohenD => (d, variance_d),
        V::HedgesExact => {
            let g = exact_j(m) * d;
            (g, share + g.powi(2) / (2.0 * n))
        }
        V::HedgesUnbiased => {
            let j = exact_j(m);
            (j * d, share + (1.0 - (m - 2.0) / (m * j.powi(2))) * (j * d).powi(2))
        }
        V::HedgesJSquared => {
            let j = approximate_j(m);
            (j * d, j.powi(2) * variance_d)
        }
        _ => {
            let g = approximate_j(m) * d;
            // 2 (N - 3.94) is above 0 from N = 4 on, the least there can be.
            (g, share + g.powi(2) / (2.0 * (n - 3.94)))
        }
    };
    Effect::computed(Scale::StandardisedMeanDifference, value, variance, variant.name(), "sd1")
}

/// Interval of the mean difference by t with Satterthwaite's degrees of freedom.
///
/// # Errors
/// If an input is impossible or nothing spreads.
pub fn welch(of: &TwoMeans, level: Level) -> Result<TInterval, Refusal> {
    of.checked()?;
    let (a, b) = (of.sd1.powi(2) / of.n1, of.sd2.powi(2) / of.n2);
    if a + b <= 0.0 {
        return Err(Refusal::Undefined { what: "sd1", because: "neither group has any spread" });
    }
    // Shares first, so that very small or large spreads stay within range.
    let (share_a, share_b) = (a / (a + b), b / (a + b));
    let df = super::told(1.0 / (share_a.powi(2) / (of.n1 - 1.0) + share_b.powi(2) / (of.n2 - 1.0)), "sd1")?;
    Ok(TInterval { df, interval: Interval::around(of.m1 - of.m2, level.t(df) * (a + b).sqrt()) })
}

/// Interval of the mean difference by t with one variance for both groups.
///
/// # Errors
/// If an input is impossible.
pub fn pooled_t(of: &TwoMeans, level: Level) -> Result<TInterval, Refusal> {
    let effect = means(of, MeansVariant::DifferencePooled)?;
    Ok(TInterval { df: of.df(), interval: Interval::around(effect.value, level.t(of.df()) * effect.se()) })
}

/// Gamma(m/2) / (sqrt(m/2) Gamma((m-1)/2)), for m of 2 or more; 0 at 1, where it has no value above.
pub fn exact_j(m: f64) -> f64 {
    let x = (m - 1.0) / 2.0;
    if x <= 0.0 {
        return 0.0;
    }
    // Logarithms of large gammas cancel; there the series in 1/x is exact to the last digit.
    let ratio = if x < 100.0 {
        (ln_gamma(x + 0.5) - ln_gamma(x)).exp()
    } else {
        let r = 1.0 / x;
        let series = [1.0, -1.0 / 8.0, 1.0 / 128.0, 5.0 / 1024.0, -21.0 / 32768.0];
        x.sqrt() * series.iter().rev().fold(0.0, |sum, c| sum * r + c)
    };
    ratio / (m / 2.0).sqrt()
}

/// 1 - 3/(4 m - 1), which is 1 - 3/(4 N - 9) for two groups of N people.
pub fn approximate_j(m: f64) -> f64 {
    1.0 - 3.0 / (4.0 * m - 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_ways_to_j_meet() {
        let by_logs = |m: f64| (ln_gamma(m / 2.0) - ln_gamma((m - 1.0) / 2.0)).exp() / (m / 2.0).sqrt();
        for m in [201.0, 250.0, 400.0] {
            assert!((exact_j(m) - by_logs(m)).abs() < 1e-12, "{m}");
        }
        // Gamma(1) / (1 Gamma(1/2)) = 1/sqrt(pi).
        assert!(
            (exact_j(2.0) - std::f64::consts::FRAC_1_SQRT_2 * std::f64::consts::FRAC_2_SQRT_PI / std::f64::consts::SQRT_2).abs() < 1e-14
        );
    }
}

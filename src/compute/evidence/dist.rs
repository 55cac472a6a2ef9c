//! Quantiles and tail probabilities: normal, t, chi square, F, beta.
//!
//! They come from statrs. Measured against tables of another library on the range that is used here,
//! its t, F and beta agree to 1e-12 and its chi square quantile to 2e-10 relative; the t quantile is only
//! right to 4e-6 where the degrees of freedom run to 100 000. One Newton step mends both. Its F quantile is off by
//! 0.3 % at 10 million, and several steps mend it.

use super::Refusal;
use super::refusal::inside;
use statrs::distribution::{Beta, ChiSquared, Continuous, ContinuousCDF, FisherSnedecor, Normal, StudentsT};

/// Confidence of an interval, above 0 and below 1.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Level(f64);

impl Level {
    /// The usual 95 %.
    pub const P95: Level = Level(0.95);
    /// 90 %, for the smallest detectable change of that name.
    pub const P90: Level = Level(0.90);

    /// A level such as `0.95`.
    ///
    /// # Errors
    /// If it is not above 0 and below 1.
    pub fn new(level: f64) -> Result<Self, Refusal> {
        inside("level", level, 0.0, 1.0).map(Self)
    }

    /// The number.
    pub fn value(self) -> f64 {
        self.0
    }

    /// The exact normal quantile of the interval: 1.959963984540054 at 95 %.
    pub fn z(self) -> f64 {
        -normal_quantile(self.tail())
    }

    /// The t quantile of the interval.
    pub fn t(self, df: f64) -> f64 {
        -t_quantile(self.tail(), df)
    }

    /// What lies beyond either end.
    pub fn tail(self) -> f64 {
        (1.0 - self.0) / 2.0
    }
}

/// Probability of less than `z` under the standard normal.
pub fn normal_below(z: f64) -> f64 {
    Normal::standard().cdf(z)
}

/// Quantile of the standard normal.
pub fn normal_quantile(p: f64) -> f64 {
    Normal::standard().inverse_cdf(p)
}

/// Two-sided probability of a standard normal at least as far from 0.
pub fn normal_two_sided(z: f64) -> f64 {
    (2.0 * Normal::standard().sf(z.abs())).min(1.0)
}

/// Two-sided probability of a t at least as far from 0.
pub fn t_two_sided(t: f64, df: f64) -> f64 {
    StudentsT::new(0.0, 1.0, df).map_or(1.0, |d| (2.0 * d.sf(t.abs())).min(1.0))
}

/// Degrees of freedom beyond which the library takes ever longer to find a quantile of t, chi square, F or beta, and
/// in the end never returns. Nobody has counted so many; a number may still be mistyped.
const MANY: f64 = 1e7;
/// Degrees of freedom above which those of a ratio count as many, if the others are beyond `MANY`.
const SOME: f64 = 1e4;
/// Degrees of freedom below which an F, and shape below which a beta, lies at its end.
const NONE: f64 = 1e-2;

/// Quantile of t. Above 100 000 degrees of freedom by its expansion about the normal (Abramowitz and Stegun 1964,
/// 26.7.5, entered from memory), of which the third term left out is below 1e-13 there up to 99.9 %; the library is right to 3e-6.
pub fn t_quantile(p: f64, df: f64) -> f64 {
    if df > MANY / 100.0 {
        let z = normal_quantile(p);
        return z + (z.powi(3) + z) / (4.0 * df) + (5.0 * z.powi(5) + 16.0 * z.powi(3) + 3.0 * z) / (96.0 * df * df);
    }
    let Ok(d) = StudentsT::new(0.0, 1.0, df) else { return normal_quantile(p) };
    let first = d.inverse_cdf(p);
    mended(first, d.cdf(first) - p, d.pdf(first))
}

/// Quantile of chi square. Beyond `MANY` degrees of freedom as the cube of a normal (Wilson and Hilferty 1931, entered
/// from memory).
pub fn chi2_quantile(p: f64, df: f64) -> f64 {
    if df > MANY {
        let spread = 2.0 / (9.0 * df);
        return df * (1.0 - spread + normal_quantile(p) * spread.sqrt()).powi(3);
    }
    let Ok(d) = ChiSquared::new(df) else { return 0.0 };
    let first = d.inverse_cdf(p);
    mended(first, d.cdf(first) - p, d.pdf(first)).max(0.0)
}

/// Probability of at least `x` under chi square.
pub fn chi2_above(x: f64, df: f64) -> f64 {
    ChiSquared::new(df).map_or(1.0, |d| d.sf(x.max(0.0)))
}

/// Quantile of F.
pub fn f_quantile(p: f64, df1: f64, df2: f64) -> f64 {
    if df1.min(df2) < NONE {
        return if df1 <= df2 { 0.0 } else { f64::INFINITY };
    }
    if df1.max(df2) <= MANY {
        let Ok(d) = FisherSnedecor::new(df1, df2) else { return 1.0 };
        return settled(d.inverse_cdf(p), p, |x| d.cdf(x));
    }
    match (df1 > SOME, df2 > SOME) {
        (true, true) => f_of_many(p, df1, df2),
        (false, _) => chi2_quantile(p, df1) / df1,
        _ => df2 / chi2_quantile(1.0 - p, df2),
    }
}

/// Quantile of F for many degrees of freedom on both sides: half its logarithm is nearly normal (Carter 1947, as in
/// algorithm AS 109 of Applied Statistics, entered from memory).
fn f_of_many(p: f64, df1: f64, df2: f64) -> f64 {
    let z = normal_quantile(p);
    let (few1, few2) = (1.0 / (df1 - 1.0), 1.0 / (df2 - 1.0));
    let (lambda, mean) = ((z * z - 3.0) / 6.0, 2.0 / (few1 + few2));
    let half = z * (mean + lambda).sqrt() / mean - (few1 - few2) * (lambda + 5.0 / 6.0 - 2.0 / (3.0 * mean));
    (2.0 * half).exp()
}

/// Probability of at least `x` under F.
pub fn f_above(x: f64, df1: f64, df2: f64) -> f64 {
    FisherSnedecor::new(df1, df2).map_or(1.0, |d| d.sf(x.max(0.0)))
}

/// Quantile of beta.
pub fn beta_quantile(p: f64, a: f64, b: f64) -> f64 {
    if a.min(b) < NONE {
        return if a <= b { 0.0 } else { 1.0 };
    }
    if a.max(b) > MANY / 2.0 {
        let ratio = f_quantile(p, 2.0 * a, 2.0 * b) * (a / b);
        return if ratio.is_finite() { ratio / (1.0 + ratio) } else { 1.0 };
    }
    let Ok(d) = Beta::new(a, b) else { return p };
    let first = d.inverse_cdf(p);
    mended(first, d.cdf(first) - p, d.pdf(first)).clamp(0.0, 1.0)
}

/// Logarithm of the gamma function.
pub fn ln_gamma(x: f64) -> f64 {
    statrs::function::gamma::ln_gamma(x)
}

/// Newton steps from a first guess above 0 until they are nothing, none to less than half or more than double. The slope
/// is measured: the density of the library overflows from some hundred degrees of freedom on.
fn settled(first: f64, p: f64, below: impl Fn(f64) -> f64) -> f64 {
    let mut x = first;
    if !x.is_finite() || x <= 0.0 {
        return x;
    }
    for _ in 0..20 {
        let slope = (below(x * 1.0001) - below(x * 0.9999)) / (x * 0.0002);
        let next = (x - (below(x) - p) / slope).clamp(x / 2.0, x * 2.0);
        if !next.is_finite() || next <= 0.0 || (next - x).abs() <= 1e-14 * x {
            break;
        }
        x = next;
    }
    x
}

fn mended(first: f64, off: f64, density: f64) -> f64 {
    let next = first - off / density;
    if next.is_finite() && (next - first).abs() <= 1e-3 * first.abs().max(1e-3) { next } else { first }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// scipy 1.17.1: `special.ndtri`, `stdtrit`, `betaincinv`; `stats.chi2.ppf`, `f.ppf`, `norm.sf`.
    #[test]
    fn quantiles_agree_with_tables_of_another_library() {
        let cases = [
            (Level::P95.z(), 1.959_963_984_540_054),
            (Level::P90.z(), 1.644_853_626_951_472_2),
            (Level::P95.t(1.0), 12.706_204_736_174_694),
            (Level::P95.t(12.0), 2.178_812_829_667_228_4),
            (Level::P95.t(94.302_235_638_147_34), 1.985_440_484_313_547_6),
            (Level::P95.t(100_000.0), 1.959_987_707_534_609_5),
            (chi2_quantile(0.975, 2.0), 7.377_758_908_227_871),
            (chi2_quantile(0.95, 2.0), 5.991_464_547_107_979),
            (chi2_quantile(0.025, 17.0), 7.564_186_449_577_567),
            (f_quantile(0.975, 99.0, 1.2), 336.903_254_524_262_4),
            (beta_quantile(0.975, 12.0, 18.0), 0.577_395_359_335_598_7),
            (normal_two_sided(8.0), 2.0 * 6.220_960_574_271_74e-16),
        ];
        for (i, (got, want)) in cases.into_iter().enumerate() {
            assert!((got - want).abs() <= 2e-10 * want, "case {i}: {got}, expected {want}");
        }
    }

    #[test]
    fn a_level_lies_between_its_bounds() {
        assert!(Level::new(0.0).is_err() && Level::new(1.0).is_err() && Level::new(f64::NAN).is_err());
        assert_eq!(Level::new(0.95), Ok(Level::P95));
    }

    /// Every quantile comes back, whatever is asked: the library alone never returns from many of these.
    #[test]
    fn a_quantile_of_absurd_numbers_comes_back_and_grows_with_its_probability() {
        let sizes = [1e-300, 1e-12, 1e-3, 0.5, 1.0, 30.0, 1e5, 1e6, 1e7, 1e8, 1e12, 1e18, 1e300];
        let tails = [6e-17, 1e-12, 0.025, 0.5, 0.975, 1.0 - 1e-12];
        for a in sizes {
            let grows = |of: &dyn Fn(f64) -> f64, what: &str| {
                let all: Vec<f64> = tails.iter().map(|p| of(*p)).collect();
                // The library is right to a few digits at the rims.
                let near = |w: &[f64]| w[0] <= w[1] || (w[0] - w[1]).abs() <= 1e-6 * w[0].abs() + 1e-8;
                assert!(!all.iter().any(|x| x.is_nan()) && all.windows(2).all(near), "{what}: {all:?}");
            };
            if a >= NONE {
                grows(&|p| chi2_quantile(p, a), &format!("chi square, {a:e}"));
                grows(&|p| t_quantile(p, a), &format!("t, {a:e}"));
            }
            for b in sizes {
                grows(&|p| f_quantile(p, a, b), &format!("F, {a:e} {b:e}"));
                grows(&|p| beta_quantile(p, a, b), &format!("beta, {a:e} {b:e}"));
            }
        }
    }

    #[test]
    fn the_expansions_go_on_from_the_library() {
        let (below, above) = (MANY * (1.0 - 1e-9), MANY * (1.0 + 1e-9));
        for p in [0.005, 0.025, 0.2, 0.9, 0.975] {
            for (name, of, within) in [
                ("t", &(|p, df| t_quantile(p, df / 100.0)) as &dyn Fn(f64, f64) -> f64, 1e-10),
                ("chi square", &chi2_quantile, 1e-8),
                ("F, many and many", &|p, df| f_quantile(p, df, df), 1e-7),
                ("F, many and some", &|p, df| f_quantile(p, df, 3e5), 1e-7),
                ("F, few and many", &|p, df| f_quantile(p, 12.0, df), 1e-5),
                ("F, many and few", &|p, df| f_quantile(p, df, 12.0), 1e-5),
                ("beta", &|p, df| beta_quantile(p, df / 2.0, df / 4.0), 1e-7),
            ] {
                let (x, y) = (of(p, below), of(p, above));
                assert!((x - y).abs() <= within * x.abs(), "{name} at {p}: {x} {y}");
            }
        }
    }
}

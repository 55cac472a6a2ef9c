//! Intraclass correlation of ratings: six forms, with intervals.
//!
//! Forms: Shrout PE, Fleiss JL, Psychol Bull 1979;86:420-428. ICC1 one-way random; ICC2 two-way random,
//! absolute agreement; ICC3 two-way mixed, consistency; k the mean of k raters. Interval of ICC2 with
//! Satterthwaite's degrees of freedom: the same paper, and McGraw KO, Wong SP, Psychol Methods 1996;1:30-46
//! (from memory; held against `tests/reference/evidence`). Estimates below 0 are not cut off.

use super::table;
use crate::compute::evidence::dist::{f_above, f_quantile};
use crate::compute::evidence::{Interval, Level, Refusal};

/// Mean squares of a table with one row for each subject.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Anova {
    /// Subjects.
    pub n: f64,
    /// Raters or trials.
    pub k: f64,
    /// Mean of all.
    pub mean: f64,
    /// Between subjects.
    pub between: f64,
    /// Within subjects.
    pub within: f64,
    /// Between raters.
    pub raters: f64,
    /// What is left after subjects and raters.
    pub error: f64,
}

impl Anova {
    /// Degrees of freedom between subjects.
    pub fn df_between(&self) -> f64 {
        self.n - 1.0
    }

    /// Degrees of freedom within subjects.
    pub fn df_within(&self) -> f64 {
        self.n * (self.k - 1.0)
    }

    /// Degrees of freedom between raters.
    pub fn df_raters(&self) -> f64 {
        self.k - 1.0
    }

    /// Degrees of freedom left.
    pub fn df_error(&self) -> f64 {
        (self.n - 1.0) * (self.k - 1.0)
    }
}

/// A form of the intraclass correlation.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Form {
    /// One-way random, one rater.
    Icc1,
    /// One-way random, mean of k.
    Icc1k,
    /// Two-way random, absolute agreement, one rater.
    Icc2,
    /// Two-way random, absolute agreement, mean of k.
    Icc2k,
    /// Two-way mixed, consistency, one rater.
    Icc3,
    /// Two-way mixed, consistency, mean of k.
    Icc3k,
}

impl Form {
    /// All of them.
    pub const ALL: [Self; 6] = [Self::Icc1, Self::Icc1k, Self::Icc2, Self::Icc2k, Self::Icc3, Self::Icc3k];
    /// Those that hold when columns are mere repetitions in no order.
    pub const ONE_WAY: [Self; 2] = [Self::Icc1, Self::Icc1k];

    /// Short name.
    pub fn short(self) -> &'static str {
        match self {
            Self::Icc1 => "ICC1",
            Self::Icc1k => "ICC1k",
            Self::Icc2 => "ICC2",
            Self::Icc2k => "ICC2k",
            Self::Icc3 => "ICC3",
            Self::Icc3k => "ICC3k",
        }
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Icc1 => "one-way random, one rater",
            Self::Icc1k => "one-way random, mean of k raters",
            Self::Icc2 => "two-way random, absolute agreement, one rater",
            Self::Icc2k => "two-way random, absolute agreement, mean of k raters",
            Self::Icc3 => "two-way mixed, consistency, one rater",
            Self::Icc3k => "two-way mixed, consistency, mean of k raters",
        }
    }
}

/// One intraclass correlation.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Intraclass {
    /// Which.
    pub form: Form,
    /// The correlation.
    pub icc: f64,
    /// Ratio of mean squares that tests it against 0; `None` without any error.
    pub f: Option<f64>,
    /// Degrees of freedom above.
    pub df1: f64,
    /// Degrees of freedom below.
    pub df2: f64,
    /// p of the ratio.
    pub p: Option<f64>,
    /// Interval; `None` without any error.
    pub interval: Option<Interval>,
}

/// The mean squares of a table with a row for each subject and a column for each rater or trial.
///
/// # Errors
/// With fewer than two subjects or raters, or uneven rows.
pub fn anova(rows: &[Vec<f64>]) -> Result<Anova, Refusal> {
    let (n, k) = table("ratings", rows, 2, 2)?;
    let mean = rows.iter().flatten().sum::<f64>() / (n * k);
    let of_subject = |row: &Vec<f64>| row.iter().sum::<f64>() / k;
    let of_rater = |j: usize| rows.iter().filter_map(|r| r.get(j)).sum::<f64>() / n;
    let raters: Vec<f64> = (0..rows.first().map_or(0, Vec::len)).map(of_rater).collect();
    let (mut between, mut within, mut error) = (0.0, 0.0, 0.0);
    for row in rows {
        let own = of_subject(row);
        between += k * (own - mean).powi(2);
        for (value, rater) in row.iter().zip(&raters) {
            within += (value - own).powi(2);
            error += (value - own - rater + mean).powi(2);
        }
    }
    let of_raters: f64 = raters.iter().map(|r| n * (r - mean).powi(2)).sum();
    // Rounding of the sums is no spread.
    let size = rows.iter().flatten().fold(0.0_f64, |m, x| m.max(x.abs()));
    let real = |squares: f64| if squares > 1e-28 * size * size * n * k { squares } else { 0.0 };
    let a = Anova { n, k, mean, between: 0.0, within: 0.0, raters: 0.0, error: 0.0 };
    let told = |x| super::super::told(x, "ratings");
    Ok(Anova {
        between: told(real(between) / a.df_between())?,
        within: told(real(within) / a.df_within())?,
        raters: told(real(of_raters) / a.df_raters())?,
        error: told(real(error) / a.df_error())?,
        ..a
    })
}

/// One form of the intraclass correlation.
///
/// # Errors
/// If the ratings do not spread, or the form has no value for them.
pub fn intraclass(a: &Anova, form: Form, level: Level) -> Result<Intraclass, Refusal> {
    let Anova { n, k, between, within, raters, error, .. } = *a;
    let (above, below) = match form {
        Form::Icc1 => (between - within, between + (k - 1.0) * within),
        Form::Icc1k => (between - within, between),
        Form::Icc2 => (between - error, between + (k - 1.0) * error + k * (raters - error) / n),
        Form::Icc2k => (between - error, between + (raters - error) / n),
        Form::Icc3 => (between - error, between + (k - 1.0) * error),
        Form::Icc3k => (between - error, between),
    };
    if below <= 0.0 {
        return Err(Refusal::Undefined { what: "ratings", because: "subjects do not differ" });
    }
    let one_way = matches!(form, Form::Icc1 | Form::Icc1k);
    let (noise, df1, df2) = if one_way { (within, a.df_between(), a.df_within()) } else { (error, a.df_between(), a.df_error()) };
    let f = Some(between / noise).filter(|f| f.is_finite());
    let interval = f.and_then(|f| match form {
        Form::Icc2 => agreement(a, level),
        Form::Icc2k => agreement(a, level).and_then(|i| averaged(i, k)),
        Form::Icc1k | Form::Icc3k => Some(ratio_ends(f, df1, df2, level).map(|f| 1.0 - 1.0 / f)),
        Form::Icc1 | Form::Icc3 => Some(ratio_ends(f, df1, df2, level).map(|f| (f - 1.0) / (f + k - 1.0))),
    });
    let icc = super::super::told(above / below, "ratings")?;
    let interval = interval.filter(|i| i.low.is_finite() && i.high.is_finite());
    Ok(Intraclass { form, icc, f, df1, df2, p: f.map(|f| f_above(f, df1, df2)), interval })
}

/// Ends of the ratio of true mean squares.
fn ratio_ends(f: f64, df1: f64, df2: f64, level: Level) -> Interval {
    let upper = 1.0 - level.tail();
    Interval { low: f / f_quantile(upper, df1, df2), high: f * f_quantile(upper, df2, df1) }
}

/// Interval of ICC2 with Satterthwaite's degrees of freedom.
fn agreement(a: &Anova, level: Level) -> Option<Interval> {
    let Anova { n, k, between, raters, error, .. } = *a;
    let icc = (between - error) / (between + (k - 1.0) * error + k * (raters - error) / n);
    let (fj, rest) = (raters / error, n * (1.0 + (k - 1.0) * icc) - k * icc);
    let (of_raters, df) = (k * icc * fj, n - 1.0);
    let v = (k - 1.0) * df * (of_raters + rest).powi(2) / (df * of_raters.powi(2) + rest.powi(2));
    if !(v > 0.0 && v.is_finite()) {
        return None;
    }
    let upper = 1.0 - level.tail();
    let (high, low) = (f_quantile(upper, df, v), f_quantile(upper, v, df));
    let noise = k * raters + (k * n - k - n) * error;
    Some(Interval {
        low: n * (between - high * error) / (high * noise + n * between),
        high: n * (low * between - error) / (noise + n * low * between),
    })
}

/// Spearman and Brown: from one rater to the mean of k; none where the formula passes its pole.
fn averaged(one: Interval, k: f64) -> Option<Interval> {
    let of = |x: f64| x * k / (1.0 + x * (k - 1.0));
    (1.0 + one.low * (k - 1.0) > 0.0).then(|| one.map(of))
}

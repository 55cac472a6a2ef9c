//! Error of measurement and smallest detectable change, each named by what it was made from.
//!
//! Weir JP, J Strength Cond Res 2005;19:231-240; de Vet HCW et al, J Clin Epidemiol 2006;59:1033-1039;
//! Bland JM, Altman DG, BMJ 1996;312:1654 (from memory; held against `tests/reference/evidence`).

use super::intraclass::{Anova, Form, anova, intraclass};
use crate::compute::evidence::refusal::{Refusal, at_least, finite};
use crate::compute::evidence::{Level, len, told};

/// Error of one measurement and what follows from it, in the unit of the measurement.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct MeasurementError {
    /// Standard error of measurement.
    pub sem: f64,
    /// Smallest change beyond error at 95 %: z sqrt(2) SEM, with the exact z.
    pub mdc95: f64,
    /// The same at 90 %.
    pub mdc90: f64,
    /// Half of the 95 % interval of a single reading.
    pub half_width_95: f64,
    /// The change at 95 % with the rounded 1.96.
    pub mdc95_rounded_z: f64,
}

/// What follows from a standard error of measurement.
///
/// # Errors
/// If it is negative or too large.
pub fn from_sem(sem: f64) -> Result<MeasurementError, Refusal> {
    let sem = at_least("sem", sem, 0.0)?;
    let of = |z: f64| z * std::f64::consts::SQRT_2 * sem;
    let (z95, z90) = (Level::P95.z(), Level::P90.z());
    told(of(z95), "sem")?;
    Ok(MeasurementError { sem, mdc95: of(z95), mdc90: of(z90), half_width_95: z95 * sem, mdc95_rounded_z: of(1.96) })
}

/// SD sqrt(1 - ICC).
///
/// # Errors
/// If the deviation is negative or the correlation above 1.
pub fn from_sd_and_icc(sd: f64, icc: f64) -> Result<MeasurementError, Refusal> {
    let (sd, icc) = (at_least("sd", sd, 0.0)?, finite("icc", icc)?);
    if icc > 1.0 {
        return Err(Refusal::Above { what: "icc", most: 1.0, found: icc });
    }
    if icc < -1.0 {
        return Err(Refusal::Below { what: "icc", least: -1.0, found: icc });
    }
    from_sem(told(sd * (1.0 - icc).sqrt(), "sd")?)
}

/// Which standard error of measurement.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum SemVariant {
    /// Square root of the mean square within subjects.
    Within,
    /// Square root of the mean square that subjects and trials leave: consistency.
    Consistency,
    /// Square root of the variance between trials plus that mean square: agreement.
    Agreement,
    /// SD of all scores, ICC2.
    AllIcc2,
    /// SD of the first trial, ICC2.
    FirstIcc2,
    /// SD pooled over trials, ICC2.
    PooledIcc2,
    /// SD of all scores, ICC3.
    AllIcc3,
    /// SD of the first trial, ICC3.
    FirstIcc3,
    /// SD pooled over trials, ICC3.
    PooledIcc3,
}

impl SemVariant {
    /// All of them.
    pub const ALL: [Self; 9] = [
        Self::Within,
        Self::Consistency,
        Self::Agreement,
        Self::AllIcc2,
        Self::FirstIcc2,
        Self::PooledIcc2,
        Self::AllIcc3,
        Self::FirstIcc3,
        Self::PooledIcc3,
    ];

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Within => "square root of the mean square within subjects",
            Self::Consistency => "square root of the mean square of error",
            Self::Agreement => "square root of variance between trials plus mean square of error",
            Self::AllIcc2 => "SD of all scores times sqrt(1 - ICC2)",
            Self::FirstIcc2 => "SD of the first trial times sqrt(1 - ICC2)",
            Self::PooledIcc2 => "SD pooled over trials times sqrt(1 - ICC2)",
            Self::AllIcc3 => "SD of all scores times sqrt(1 - ICC3)",
            Self::FirstIcc3 => "SD of the first trial times sqrt(1 - ICC3)",
            Self::PooledIcc3 => "SD pooled over trials times sqrt(1 - ICC3)",
        }
    }
}

/// Errors of measurement of a table of ratings.
#[derive(Clone, Debug, PartialEq)]
pub struct OfRatings {
    /// Mean squares.
    pub anova: Anova,
    /// Standard deviation of all scores.
    pub sd_all: f64,
    /// Standard deviation of the first trial.
    pub sd_first: f64,
    /// Root of the mean variance of the trials.
    pub sd_pooled: f64,
    /// Standard deviation of the differences over sqrt(2); of two trials only.
    pub sd_difference_over_sqrt2: Option<f64>,
    /// Every variant, in the order of [`SemVariant::ALL`].
    pub errors: Vec<(SemVariant, MeasurementError)>,
}

/// Errors of measurement of a table with a row for each subject and a column for each trial.
///
/// # Errors
/// As [`anova`], and when subjects do not differ.
pub fn of_ratings(rows: &[Vec<f64>]) -> Result<OfRatings, Refusal> {
    let a = anova(rows)?;
    let trial = |j: usize| rows.iter().filter_map(|r| r.get(j).copied()).collect::<Vec<f64>>();
    let columns: Vec<Vec<f64>> = (0..rows.first().map_or(0, Vec::len)).map(trial).collect();
    let all: Vec<f64> = rows.iter().flatten().copied().collect();
    let sd_all = variance(&all).sqrt();
    let sd_first = columns.first().map_or(0.0, |c| variance(c)).sqrt();
    let sd_pooled = (columns.iter().map(|c| variance(c)).sum::<f64>() / a.k).sqrt();
    let differences = |row: &Vec<f64>| match row.as_slice() {
        [first, second] => Some(first - second),
        _ => None,
    };
    let differences: Option<Vec<f64>> = rows.iter().map(differences).collect();
    let icc = |form| intraclass(&a, form, Level::P95).map(|i| i.icc.min(1.0));
    let (icc2, icc3) = (icc(Form::Icc2)?, icc(Form::Icc3)?);
    let by = |sd: f64, icc: f64| sd * (1.0 - icc).sqrt();
    let error = |variant| {
        let sem = match variant {
            SemVariant::Within => a.within.sqrt(),
            SemVariant::Consistency => a.error.sqrt(),
            SemVariant::Agreement => (((a.raters - a.error) / a.n).max(0.0) + a.error).sqrt(),
            SemVariant::AllIcc2 => by(sd_all, icc2),
            SemVariant::FirstIcc2 => by(sd_first, icc2),
            SemVariant::PooledIcc2 => by(sd_pooled, icc2),
            SemVariant::AllIcc3 => by(sd_all, icc3),
            SemVariant::FirstIcc3 => by(sd_first, icc3),
            SemVariant::PooledIcc3 => by(sd_pooled, icc3),
        };
        Ok((variant, from_sem(told(sem, "ratings")?)?))
    };
    Ok(OfRatings {
        anova: a,
        sd_all,
        sd_first,
        sd_pooled,
        sd_difference_over_sqrt2: differences.map(|d| (variance(&d) / 2.0).sqrt()),
        errors: SemVariant::ALL.into_iter().map(error).collect::<Result<_, Refusal>>()?,
    })
}

/// Variance of a sample, with n - 1.
pub(super) fn variance(values: &[f64]) -> f64 {
    let n = len(values.len());
    let mean = values.iter().sum::<f64>() / n;
    values.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / (n - 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// SD sqrt(1-ICC), then 1.96 sqrt(2) SEM and 1.645 sqrt(2) SEM: plain arithmetic with the rounded z that
    /// papers use.
    #[test]
    fn error_and_detectable_change_follow_from_deviation_and_reliability() {
        let cases = [(100.0, 0.90, 31.623, 87.654, Some(73.567)), (2.0, 0.76, 0.980, 2.716, None), (80.0, 0.79, 36.661, 101.618, None)];
        for (sd, icc, sem, mdc95, mdc90) in cases {
            let e = from_sd_and_icc(sd, icc).unwrap();
            assert!((e.sem - sem).abs() < 5.01e-4 && (e.mdc95_rounded_z - mdc95).abs() < 5.01e-4, "{e:?}");
            let rounded = e.mdc90 * 1.645 / Level::P90.z();
            assert!(mdc90.is_none_or(|m: f64| (rounded - m).abs() < 5.01e-4), "{e:?}");
            assert!((e.mdc95 * 1.96 / Level::P95.z() - e.mdc95_rounded_z).abs() < 1e-12 * sd);
        }
    }
}

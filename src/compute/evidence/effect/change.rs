//! One group measured before and after.
//!
//! A change within one group is no effect of a treatment: people with pain get better anyway. It needs the
//! correlation of the two measurements, or the standard deviation of the change, which few papers print.
//! Borenstein M et al, Introduction to Meta-Analysis, 2009, chapter 4 (from memory; held against
//! `tests/reference/evidence`, as is the standardised change by either deviation).

use super::means::{approximate_j, exact_j};
use super::{Effect, Scale, TInterval};
use crate::compute::evidence::refusal::{at_least, count, finite, inside};
use crate::compute::evidence::{Interval, Level, Refusal, told};

/// A group before and after.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct PrePost {
    /// People.
    pub n: f64,
    /// Mean before.
    pub m_pre: f64,
    /// Mean after.
    pub m_post: f64,
    /// What is known of the spread.
    pub spread: Spread,
}

/// What is known of the spread.
#[derive(Copy, Clone, Debug, PartialEq)]
pub enum Spread {
    /// Both deviations and the correlation between before and after.
    Both {
        /// Standard deviation before.
        sd_pre: f64,
        /// Standard deviation after.
        sd_post: f64,
        /// Correlation of before and after.
        r: f64,
    },
    /// The deviation of the change, and the correlation if it is known.
    Change {
        /// Standard deviation of the change.
        sd_change: f64,
        /// Correlation of before and after.
        r: Option<f64>,
    },
}

/// Which formula.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum ChangeVariant {
    /// Mean change in the unit of the measurement.
    Mean,
    /// Change in standard deviations of the change, exact J.
    ByChange,
    /// Change in standard deviations before, exact J; needs `sd_pre` and `r`.
    ByBaseline,
    /// Change in standard deviations within, from that of the change; J = 1 - 3/(4 m - 1); needs `r`.
    Matched,
}

impl ChangeVariant {
    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Mean => "mean change",
            Self::ByChange => "change over the SD of the change, exact J, variance 1/n + y^2/(2n)",
            Self::ByBaseline => "change over the SD before, exact J, variance 2(1-r)/n + y^2/(2n)",
            Self::Matched => "change over the SD within, J = 1 - 3/(4m-1), variance J^2 (1/n + d^2/(2n)) 2(1-r)",
        }
    }
}

impl PrePost {
    fn checked(&self) -> Result<(), Refusal> {
        count("n", self.n, 2.0)?;
        finite("m_pre", self.m_pre)?;
        finite("m_post", self.m_post)?;
        match self.spread {
            Spread::Both { sd_pre, sd_post, r } => {
                at_least("sd_pre", sd_pre, 0.0)?;
                at_least("sd_post", sd_post, 0.0)?;
                correlation(r)?;
            }
            Spread::Change { sd_change, r } => {
                at_least("sd_change", sd_change, 0.0)?;
                r.map(correlation).transpose()?;
            }
        }
        Ok(())
    }

    fn change(&self) -> f64 {
        self.m_post - self.m_pre
    }

    /// Standard deviation of the change.
    ///
    /// # Errors
    /// If an input is impossible.
    pub fn sd_change(&self) -> Result<f64, Refusal> {
        self.checked()?;
        match self.spread {
            // (s1 - s2)^2 + 2 (1-r) s1 s2 is the same sum without the loss of digits.
            Spread::Both { sd_pre, sd_post, r } => told(((sd_pre - sd_post).powi(2) + 2.0 * (1.0 - r) * sd_pre * sd_post).sqrt(), "sd_pre"),
            Spread::Change { sd_change, .. } => Ok(sd_change),
        }
    }

    /// Standard deviation within, from that of the change: sd_change / sqrt(2 (1-r)).
    ///
    /// # Errors
    /// If an input is impossible, or the correlation is unknown or 1.
    pub fn sd_within(&self) -> Result<f64, Refusal> {
        let (sd, r) = (self.sd_change()?, self.r()?);
        if r >= 1.0 {
            return Err(Refusal::Undefined { what: "r", because: "a correlation of 1 leaves no spread within" });
        }
        told(sd / (2.0 * (1.0 - r)).sqrt(), "r")
    }

    fn r(&self) -> Result<f64, Refusal> {
        match self.spread {
            Spread::Both { r, .. } | Spread::Change { r: Some(r), .. } => Ok(r),
            Spread::Change { r: None, .. } => {
                Err(Refusal::Undefined { what: "r", because: "the correlation of before and after is not given" })
            }
        }
    }
}

fn correlation(r: f64) -> Result<f64, Refusal> {
    if r.abs() <= 1.0 { Ok(r) } else { inside("r", r, -1.0, 1.0) }
}

/// The effect by one formula.
///
/// # Errors
/// If an input is impossible or missing, or there is no spread to standardise by.
pub fn change(of: &PrePost, variant: ChangeVariant) -> Result<Effect, Refusal> {
    use ChangeVariant as V;
    let (sd, n) = (of.sd_change()?, of.n);
    let by = |what, sd: f64| {
        if sd > 0.0 { Ok(of.change() / sd) } else { Err(Refusal::Undefined { what, because: "there is no spread" }) }
    };
    let (scale, value, variance) = match variant {
        V::Mean => (Scale::MeanChange, of.change(), sd.powi(2) / n),
        V::ByChange => {
            let y = exact_j(n - 1.0) * by("sd_change", sd)?;
            (Scale::StandardisedChange, y, 1.0 / n + y.powi(2) / (2.0 * n))
        }
        V::ByBaseline => {
            let Spread::Both { sd_pre, r, .. } = of.spread else {
                return Err(Refusal::Undefined { what: "sd_pre", because: "the standard deviation before is not given" });
            };
            let y = exact_j(n - 1.0) * by("sd_pre", sd_pre)?;
            (Scale::StandardisedChange, y, 2.0 * (1.0 - r) / n + y.powi(2) / (2.0 * n))
        }
        V::Matched => {
            let (j, d, r) = (approximate_j(n - 1.0), by("sd_change", of.sd_within()?)?, of.r()?);
            (Scale::StandardisedChange, j * d, j.powi(2) * (1.0 / n + d.powi(2) / (2.0 * n)) * 2.0 * (1.0 - r))
        }
    };
    if variant != V::Mean && n < 3.0 {
        return Err(Refusal::Below { what: "n", least: 3.0, found: n });
    }
    Effect::computed(scale, value, variance, variant.name(), "sd_change")
}

/// Interval of the mean change by t with n - 1 degrees of freedom.
///
/// # Errors
/// If an input is impossible.
pub fn change_t(of: &PrePost, level: Level) -> Result<TInterval, Refusal> {
    let (effect, df) = (change(of, ChangeVariant::Mean)?, of.n - 1.0);
    Ok(TInterval { df, interval: Interval::around(effect.value, level.t(df) * effect.se()) })
}

/// Change of one group less change of another: values subtract, variances add.
///
/// # Errors
/// If the two are on different scales.
pub fn difference(treated: &Effect, control: &Effect) -> Result<Effect, Refusal> {
    if treated.scale != control.scale {
        return Err(Refusal::Mixed { study: 1, found: control.scale, wanted: treated.scale });
    }
    let scale = match treated.scale {
        Scale::MeanChange => Scale::MeanDifference,
        Scale::StandardisedChange => Scale::StandardisedMeanDifference,
        other => other,
    };
    Effect::computed(scale, treated.value - control.value, treated.variance + control.variance, "difference of two changes", "treated")
}

//! One effect: a value and a variance on the scale on which it is analysed, and how it is shown.

pub mod binary;
pub mod change;
pub mod correlation;
pub mod estimate;
pub mod means;
pub mod proportion;

use super::dist::normal_two_sided;
use super::refusal::{above, at_least, finite, inside};
use super::{Estimate, Interval, Level, Refusal, told};

/// The scale on which an effect is analysed.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Scale {
    /// Mean of one group less mean of the other, in the unit of the measurement.
    MeanDifference,
    /// The same in standard deviations.
    StandardisedMeanDifference,
    /// Natural logarithm of the risk ratio.
    LogRiskRatio,
    /// Natural logarithm of the odds ratio.
    LogOddsRatio,
    /// Natural logarithm of another ratio: of hazards, of rates, of means.
    LogRatio,
    /// Risk in one group less risk in the other.
    RiskDifference,
    /// A proportion as it is.
    Proportion,
    /// Logarithm of the odds of a proportion.
    LogitProportion,
    /// Arcsine of the square root of a proportion.
    ArcsineProportion,
    /// Mean of two such arcsines.
    DoubleArcsineProportion,
    /// Mean after less mean before, in the unit of the measurement.
    MeanChange,
    /// The same in standard deviations.
    StandardisedChange,
    /// Inverse hyperbolic tangent of a correlation.
    FisherZ,
}

/// All of them.
pub const SCALES: [Scale; 13] = [
    Scale::MeanDifference,
    Scale::StandardisedMeanDifference,
    Scale::LogRiskRatio,
    Scale::LogOddsRatio,
    Scale::LogRatio,
    Scale::RiskDifference,
    Scale::Proportion,
    Scale::LogitProportion,
    Scale::ArcsineProportion,
    Scale::DoubleArcsineProportion,
    Scale::MeanChange,
    Scale::StandardisedChange,
    Scale::FisherZ,
];

impl Scale {
    /// Name of the scale of analysis.
    pub fn name(self) -> &'static str {
        match self {
            Self::MeanDifference => "mean difference",
            Self::StandardisedMeanDifference => "standardised mean difference",
            Self::LogRiskRatio => "log risk ratio",
            Self::LogOddsRatio => "log odds ratio",
            Self::LogRatio => "log ratio",
            Self::RiskDifference => "risk difference",
            Self::Proportion => "proportion",
            Self::LogitProportion => "logit proportion",
            Self::ArcsineProportion => "arcsine proportion",
            Self::DoubleArcsineProportion => "double arcsine proportion",
            Self::MeanChange => "mean change",
            Self::StandardisedChange => "standardised change",
            Self::FisherZ => "Fisher z",
        }
    }

    /// Name of what is shown to people.
    pub fn shown_name(self) -> &'static str {
        match self {
            Self::LogRiskRatio => "risk ratio",
            Self::LogOddsRatio => "odds ratio",
            Self::LogRatio => "ratio",
            Self::LogitProportion | Self::ArcsineProportion => "proportion",
            Self::FisherZ => "correlation",
            other => other.name(),
        }
    }

    /// From the scale of analysis to what is shown. The double arcsine has no way back without the
    /// number of people and stays as it is.
    pub fn show(self, value: f64) -> f64 {
        match self {
            Self::LogRiskRatio | Self::LogOddsRatio | Self::LogRatio => value.exp(),
            Self::LogitProportion => 1.0 / (1.0 + (-value).exp()),
            Self::ArcsineProportion => value.clamp(0.0, std::f64::consts::FRAC_PI_2).sin().powi(2),
            Self::FisherZ => value.tanh(),
            _ => value,
        }
    }

    /// From what is shown to the scale of analysis.
    ///
    /// # Errors
    /// If such a value cannot be: a ratio of 0 or less, a proportion outside 0 to 1.
    pub fn analysed(self, what: &'static str, shown: f64) -> Result<f64, Refusal> {
        Ok(match self {
            Self::LogRiskRatio | Self::LogOddsRatio | Self::LogRatio => above(what, shown, 0.0)?.ln(),
            Self::LogitProportion => {
                let p = inside(what, shown, 0.0, 1.0)?;
                (p / (1.0 - p)).ln()
            }
            Self::ArcsineProportion => {
                let p = at_least(what, shown, 0.0)?;
                if p > 1.0 {
                    return Err(Refusal::Above { what, most: 1.0, found: p });
                }
                p.sqrt().asin()
            }
            Self::FisherZ => inside(what, shown, -1.0, 1.0)?.atanh(),
            _ => finite(what, shown)?,
        })
    }

    /// The shown value that means "no effect"; a single proportion has none.
    pub fn none(self) -> Option<f64> {
        match self {
            Self::LogRiskRatio | Self::LogOddsRatio | Self::LogRatio => Some(1.0),
            Self::Proportion | Self::LogitProportion | Self::ArcsineProportion | Self::DoubleArcsineProportion => None,
            _ => Some(0.0),
        }
    }
}

/// A value and its variance.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Effect {
    /// On which scale.
    pub scale: Scale,
    /// Value on that scale.
    pub value: f64,
    /// Variance of the value; 0 where the data have no spread.
    pub variance: f64,
    /// Which variant of the formulas gave it.
    pub variant: &'static str,
}

impl Effect {
    /// An effect as it is given.
    ///
    /// # Errors
    /// If the value is not finite, or the variance is negative or not finite.
    pub fn new(scale: Scale, value: f64, variance: f64, variant: &'static str) -> Result<Self, Refusal> {
        Ok(Self { scale, value: finite("value", value)?, variance: at_least("variance", variance, 0.0)?, variant })
    }

    /// An effect that was computed from `what`.
    fn computed(scale: Scale, value: f64, variance: f64, variant: &'static str, what: &'static str) -> Result<Self, Refusal> {
        Ok(Self { scale, value: told(value, what)?, variance: told(variance, what)?, variant })
    }

    /// Standard error.
    pub fn se(&self) -> f64 {
        self.variance.sqrt()
    }

    /// Value over standard error; `None` without spread.
    pub fn z(&self) -> Option<f64> {
        Some(self.value / self.se()).filter(|z| z.is_finite())
    }

    /// Two-sided p by the normal distribution.
    pub fn p(&self) -> Option<f64> {
        self.z().map(normal_two_sided)
    }

    /// Interval by the normal distribution, on the scale of analysis.
    pub fn interval(&self, level: Level) -> Interval {
        Interval::around(self.value, level.z() * self.se())
    }

    /// Value and interval as they are shown.
    pub fn shown(&self, level: Level) -> Estimate {
        let show = |x| self.scale.show(x);
        Estimate { value: show(self.value), interval: self.interval(level).map(show) }
    }

    /// The same effect seen from the other side: of the comparator over the treated.
    pub fn reversed(&self) -> Self {
        Self { value: -self.value, ..*self }
    }
}

/// An interval by the t distribution.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct TInterval {
    /// Degrees of freedom.
    pub df: f64,
    /// The interval.
    pub interval: Interval,
}

//! An effect from what a paper prints: a value with its interval, or with its standard error.
//!
//! A printed interval is rounded, and a ratio's interval lies around it only on the logarithm. The standard
//! error comes from the width; where the middle lies against the printed value is told beside it.

use super::{Effect, Scale};
use crate::compute::evidence::refusal::above;
use crate::compute::evidence::{Interval, Level, Refusal};

/// A printed value with its interval, as shown to readers: ratios, not their logarithms.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Printed {
    /// The scale on which such a value is analysed.
    pub scale: Scale,
    /// Value.
    pub value: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Confidence of the interval.
    pub level: Level,
}

/// What a printed interval says.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Reading {
    /// Effect with the printed value and the standard error of the width.
    pub effect: Effect,
    /// Middle of the interval as shown.
    pub middle: f64,
}

impl Printed {
    /// The effect: value as printed, standard error from the width of the interval by the normal quantile.
    ///
    /// # Errors
    /// If the value lies outside the interval, the interval has no width, or a number is impossible on
    /// the scale.
    pub fn read(&self) -> Result<Reading, Refusal> {
        let (value, ends) = (self.scale.analysed("value", self.value)?, self.ends()?);
        if value < ends.low {
            return Err(Refusal::Below { what: "value", least: self.low, found: self.value });
        }
        if value > ends.high {
            return Err(Refusal::Above { what: "value", most: self.high, found: self.value });
        }
        let se = (ends.high - ends.low) / (2.0 * self.level.z());
        let variant = "standard error from the width of the printed interval, normal";
        let effect = Effect::computed(self.scale, value, se * se, variant, "high")?;
        Ok(Reading { effect, middle: self.scale.show(f64::midpoint(ends.low, ends.high)) })
    }

    fn ends(&self) -> Result<Interval, Refusal> {
        let (low, high) = (self.scale.analysed("low", self.low)?, self.scale.analysed("high", self.high)?);
        if high > low { Ok(Interval { low, high }) } else { Err(Refusal::NotAbove { what: "high", bound: self.low, found: self.high }) }
    }

    /// True if numbers that round to the printed ones could have the value in the middle; `half` is half
    /// a unit of the last printed digit, for instance 0.005 for two decimals.
    ///
    /// # Errors
    /// As [`Printed::read`].
    pub fn centred(&self, half: f64) -> Result<bool, Refusal> {
        let (value, ends) = (self.scale.analysed("value", self.value)?, self.ends()?);
        // Each of the three may be off by half a unit; on a curved scale the slope at the lower end is
        // the steepest, so the bounds are taken through the scale and not along it.
        let span = |x: f64| {
            let at = |x| self.scale.analysed("value", x).ok();
            (at(x - half).unwrap_or(f64::NEG_INFINITY), at(x + half).unwrap_or(f64::INFINITY))
        };
        let (v, l, h) = (span(self.value), span(self.low), span(self.high));
        // The last digits of the sums themselves are not to decide.
        let slack = 1e-12 * (value.abs() + ends.low.abs() + ends.high.abs());
        Ok(v.0 <= f64::midpoint(l.1, h.1) + slack && v.1 >= f64::midpoint(l.0, h.0) - slack)
    }
}

/// An effect from a value on the scale of analysis and its standard error.
///
/// # Errors
/// If the value is not finite or the standard error is not above 0.
pub fn with_se(scale: Scale, value: f64, se: f64) -> Result<Effect, Refusal> {
    let se = above("se", se, 0.0)?;
    Effect::new(scale, value, super::told(se * se, "se")?, "standard error as given")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn printed(value: f64, low: f64, high: f64) -> Printed {
        Printed { scale: Scale::MeanDifference, value, low, high, level: Level::P95 }
    }

    /// Values as the paper prints them, with the p that it prints beside them: 0.67 with p < 0.0001,
    /// -0.22 with p = 0.16. Arithmetic by the normal quantile.
    #[test]
    fn a_printed_interval_gives_standard_error_and_p() {
        for (of, se, z, p, figures) in [
            (printed(0.67, 0.35, 0.98), 0.1607, 4.17, 3.1e-5, 1e-6),
            (printed(-0.22, -0.53, 0.09), 0.1582, -1.39, 0.164, 5e-4),
            (printed(0.63, 0.52, 0.75), 0.0587, 10.74, 0.0, 1e-10),
        ] {
            let effect = of.read().unwrap().effect;
            assert!((effect.se() - se).abs() < 5e-5 && (effect.z().unwrap() - z).abs() < 5e-3, "{effect:?}");
            assert!((effect.p().unwrap() - p).abs() < figures, "{effect:?}");
        }
    }

    #[test]
    fn a_middle_off_by_rounding_passes_and_a_slip_does_not() {
        assert_eq!(printed(0.67, 0.35, 0.98).centred(0.005), Ok(true));
        assert_eq!(printed(0.63, 0.52, 0.75).centred(0.005), Ok(true));
        assert_eq!(printed(0.67, 0.35, 0.89).centred(0.005), Ok(false));
        let ratio = |value| Printed { scale: Scale::LogRiskRatio, ..printed(value, 0.13, 1.26) };
        assert_eq!((ratio(0.41).centred(0.005), ratio(0.70).centred(0.005)), (Ok(true), Ok(false)));
    }

    #[test]
    fn impossible_print_is_refused() {
        assert_eq!(printed(1.2, 0.2, 0.9).read(), Err(Refusal::Above { what: "value", most: 0.9, found: 1.2 }));
        assert_eq!(printed(0.5, 0.9, 0.2).read(), Err(Refusal::NotAbove { what: "high", bound: 0.9, found: 0.2 }));
        let ratio = Printed { scale: Scale::LogOddsRatio, ..printed(0.5, -0.1, 2.0) };
        assert_eq!(ratio.read(), Err(Refusal::NotAbove { what: "low", bound: 0.0, found: -0.1 }));
    }
}

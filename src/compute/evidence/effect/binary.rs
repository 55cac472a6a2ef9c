//! Two groups with events among people.
//!
//! Zero cells: 0.5 is added to all four cells of a table that has one, and only of that; a table without
//! any event stays in, with a ratio near 1. Hybrid score interval: Newcombe RG, Stat Med 1998;17:873-890,
//! method 10 (from memory; held against `tests/reference/evidence`).

use super::proportion::wilson_of;
use super::{Effect, Scale};
use crate::compute::evidence::refusal::{count, events};
use crate::compute::evidence::{Interval, Level, Refusal};

/// Events and people of two groups; the effect is group 1 over, or less, group 2.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct TwoCounts {
    /// Events in group 1.
    pub a: f64,
    /// People in group 1.
    pub n1: f64,
    /// Events in group 2.
    pub c: f64,
    /// People in group 2.
    pub n2: f64,
}

/// Which formula.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum CountsVariant {
    /// Logarithm of the risk ratio.
    LogRiskRatio,
    /// Logarithm of the odds ratio.
    LogOddsRatio,
    /// Risk difference, corrected like the ratios.
    RiskDifference,
    /// Risk difference as counted.
    RiskDifferenceAsCounted,
}

impl CountsVariant {
    /// Its name, which says if a correction was made.
    fn name(self, corrected: bool) -> &'static str {
        match (self, corrected) {
            (Self::LogRiskRatio, false) => "log risk ratio, as counted",
            (Self::LogRiskRatio, true) => "log risk ratio, 0.5 added to all four cells",
            (Self::LogOddsRatio, false) => "log odds ratio, as counted",
            (Self::LogOddsRatio, true) => "log odds ratio, 0.5 added to all four cells",
            (Self::RiskDifference, true) => "risk difference, 0.5 added to all four cells",
            (Self::RiskDifference | Self::RiskDifferenceAsCounted, _) => "risk difference, as counted",
        }
    }
}

impl TwoCounts {
    fn checked(&self) -> Result<(), Refusal> {
        count("n1", self.n1, 1.0)?;
        count("n2", self.n2, 1.0)?;
        events("a", self.a, "n1", self.n1)?;
        events("c", self.c, "n2", self.n2)?;
        Ok(())
    }

    /// True if a cell of the table is 0.
    pub fn has_zero(&self) -> bool {
        [self.a, self.n1 - self.a, self.c, self.n2 - self.c].iter().any(|cell| *cell <= 0.0)
    }

    fn corrected(&self) -> Self {
        Self { a: self.a + 0.5, n1: self.n1 + 1.0, c: self.c + 0.5, n2: self.n2 + 1.0 }
    }
}

/// The effect by one formula.
///
/// # Errors
/// If an input is impossible.
pub fn counts(of: &TwoCounts, variant: CountsVariant) -> Result<Effect, Refusal> {
    use CountsVariant as V;
    of.checked()?;
    let correct = of.has_zero() && variant != V::RiskDifferenceAsCounted;
    let TwoCounts { a, n1, c, n2 } = if correct { of.corrected() } else { *of };
    let (b, d) = (n1 - a, n2 - c);
    let (scale, value, variance) = match variant {
        V::LogRiskRatio => (Scale::LogRiskRatio, ((a / n1) / (c / n2)).ln(), 1.0 / a - 1.0 / n1 + 1.0 / c - 1.0 / n2),
        V::LogOddsRatio => (Scale::LogOddsRatio, ((a / b) / (c / d)).ln(), 1.0 / a + 1.0 / b + 1.0 / c + 1.0 / d),
        V::RiskDifference | V::RiskDifferenceAsCounted => {
            (Scale::RiskDifference, a / n1 - c / n2, (a / n1) * (b / n1) / n1 + (c / n2) * (d / n2) / n2)
        }
    };
    Effect::computed(scale, value, variance, variant.name(correct), "a")
}

/// Hybrid score interval of the risk difference, as counted.
///
/// # Errors
/// If an input is impossible.
pub fn newcombe(of: &TwoCounts, level: Level) -> Result<Interval, Refusal> {
    of.checked()?;
    let (p1, p2) = (of.a / of.n1, of.c / of.n2);
    let (w1, w2) = (wilson_of(of.a, of.n1, level), wilson_of(of.c, of.n2, level));
    let difference = p1 - p2;
    Ok(Interval { low: difference - (p1 - w1.low).hypot(w2.high - p2), high: difference + (w1.high - p1).hypot(p2 - w2.low) })
}

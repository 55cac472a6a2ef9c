//! Effects for people: digits, measures, and why a result has no effect.

pub use crate::compute::appraisal::extracted::{counted_words, extracted, plain, printed, unit, unit_words, with_unit};

use crate::compute::appraisal::study::NoEffect;
use crate::compute::evidence::{Estimate, Interval};
use crate::model::evidence::EffectMeasure;

/// How numbers of one figure are written, so that all carry the same digits.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Digits(usize);

impl Digits {
    /// Two digits of the smallest standard error, by the width of the narrowest interval; a ratio gets at least two decimals.
    pub fn of(measure: EffectMeasure, shown: &[Estimate]) -> Digits {
        let half = |e: &Estimate| (e.interval.high - e.interval.low) / 4.0;
        let least = shown.iter().map(half).filter(|w| w.is_finite() && *w > 0.0).fold(f64::INFINITY, f64::min);
        let wanted = (1..=4_usize).find(|n| least * 10_f64.powi(i32::try_from(*n).unwrap_or(4)) >= 10.0).unwrap_or(4);
        let wanted = if least.is_finite() { wanted } else { 2 };
        Digits(if measure.is_ratio() { wanted.max(2) } else { wanted })
    }

    /// A number with these digits and a true minus sign.
    pub fn write(self, value: f64) -> String {
        let text = format!("{value:.*}", self.0);
        if text.bytes().all(|b| matches!(b, b'-' | b'0' | b'.')) { text.replace('-', "") } else { text.replace('-', "−") }
    }

    /// An interval in words.
    pub fn range(self, interval: Interval) -> String {
        format!("{} to {}", self.write(interval.low), self.write(interval.high))
    }

    /// A value with its interval.
    pub fn both(self, e: &Estimate) -> String {
        format!("{} ({})", self.write(e.value), self.range(e.interval))
    }
}

/// A percentage with at most one decimal.
pub fn percent(value: f64) -> String {
    format!("{} %", plain((value * 10.0).round() / 10.0))
}

/// A number of at least 0 with three figures at most.
pub fn three(value: f64) -> String {
    let power = |n: usize| 10_f64.powi(i32::try_from(n).unwrap_or(0));
    if value >= 1000.0 {
        let step = (1..12).map(power).find(|step| value / step < 1000.0).unwrap_or(1.0);
        return plain((value / step).round() * step);
    }
    let places = (0..9).find(|n| value * power(*n) >= 100.0).unwrap_or(if value > 0.0 { 9 } else { 0 });
    let text = format!("{value:.places$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_string() } else { text }
}

/// A p value.
pub fn p_value(p: Option<f64>) -> String {
    match p {
        None => "none".into(),
        Some(p) if p < 0.001 => "below 0.001".into(),
        Some(p) => format!("{p:.3}"),
    }
}

/// Why a result has no effect, in a sentence.
pub fn without(why: &NoEffect) -> String {
    match why {
        NoEffect::Words => "The source gives words only.".into(),
        NoEffect::OtherForm => "Its numbers are of another form than this measure needs.".into(),
        NoEffect::NoSpread => "The source does not say how far the values spread, and prints no interval for this measure.".into(),
        NoEffect::NoInterval => "The source prints the effect without an interval.".into(),
        NoEffect::OtherUnit => "It is in another unit than the results before it.".into(),
        NoEffect::Impossible(refusal) => format!("The numbers cannot be used: {refusal}."),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn estimate(value: f64, low: f64, high: f64) -> Estimate {
        Estimate { value, interval: Interval { low, high } }
    }

    #[test]
    fn digits_follow_the_narrowest_interval() {
        use EffectMeasure as M;
        assert_eq!(
            Digits::of(M::MeanDifference, &[estimate(0.4, 0.1, 0.7), estimate(2.0, -9.0, 13.0)]).both(&estimate(0.4, 0.1, 0.7)),
            "0.40 (0.10 to 0.70)"
        );
        assert_eq!(
            Digits::of(M::MeanDifference, &[estimate(-12.0, -20.0, -4.0)]).both(&estimate(-12.0, -20.0, -4.0)),
            "−12.0 (−20.0 to −4.0)"
        );
        assert_eq!(Digits::of(M::RiskRatio, &[estimate(2.0, 0.1, 40.0)]).write(0.5), "0.50");
        assert_eq!(Digits::of(M::MeanDifference, &[estimate(1.0, 1.0, 1.0)]).write(1.0), "1.00", "no interval at all");
        assert_eq!(Digits(2).write(-0.001), "0.00", "no minus before nothing");
    }

    #[test]
    fn one_is_one_and_a_whole_percentage_has_no_decimal() {
        assert_eq!(
            [with_unit("1", "points of 0 to 10"), with_unit("2", "points"), with_unit("1", "deg"), with_unit("3", "")],
            ["1 point of 0 to 10", "2 points", "1 degree", "3"]
        );
        assert_eq!([counted_words("1", "study", "studies"), counted_words("7", "study", "studies")], ["1 study", "7 studies"]);
        assert_eq!([percent(100.0), percent(49.96), percent(33.33)], ["100 %", "50 %", "33.3 %"]);
    }

    #[test]
    fn a_variance_has_three_figures_at_most() {
        let shown = [0.0, 0.012_345, 0.5, 7.891, 45.67, 123.4, 1234.5, 98_765.0].map(three);
        assert_eq!(shown, ["0", "0.0123", "0.5", "7.89", "45.7", "123", "1230", "98800"]);
    }
}

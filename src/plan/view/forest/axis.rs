//! The axis of a figure of effects: what it covers, where a value lies on it, and its marks.

use crate::compute::evidence::{Estimate, Interval};
use crate::model::evidence::EffectMeasure;

/// Most marks on an axis.
const MOST_MARKS: usize = 7;
/// Free room at each end, as a share of what is covered.
const ROOM: f64 = 0.04;

/// An axis between two places of the drawing.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Axis {
    log: bool,
    low: f64,
    high: f64,
    left: f64,
    right: f64,
}

/// Where an interval lies on the axis; an end beyond it gets an arrow.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Reach {
    /// Left end.
    pub from: f64,
    /// Right end.
    pub to: f64,
    /// True if the interval goes on to the left.
    pub beyond_left: bool,
    /// True if it goes on to the right.
    pub beyond_right: bool,
}

impl Axis {
    /// An axis that holds every value in `shown` and in `marks`, and the intervals as far as they leave the
    /// rest readable: at most once the span of the values, or twice the middle interval, to each side.
    pub fn new(measure: EffectMeasure, shown: &[Estimate], marks: &[f64], [left, right]: [f64; 2]) -> Axis {
        let log = measure.is_ratio();
        let on = |x: f64| if log { x.ln() } else { x };
        let inside = |x: &f64| x.is_finite();
        let values: Vec<f64> = shown.iter().map(|e| on(e.value)).chain(marks.iter().map(|m| on(*m))).filter(inside).collect();
        let core = values.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(*x), b.max(*x)));
        let core = if core.0 <= core.1 { core } else { (0.0, 0.0) };
        let ends: Vec<(f64, f64)> = shown.iter().map(|e| (on(e.interval.low), on(e.interval.high))).collect();
        let mut widths: Vec<f64> = ends.iter().map(|(a, b)| b - a).filter(inside).collect();
        widths.sort_by(f64::total_cmp);
        let middle = widths.get(widths.len().saturating_sub(1) / 2).copied().unwrap_or(0.0);
        let reach = (core.1 - core.0).max(2.0 * middle);
        let least = ends.iter().map(|e| e.0).filter(inside).fold(core.0, f64::min).max(core.0 - reach);
        let most = ends.iter().map(|e| e.1).filter(inside).fold(core.1, f64::max).min(core.1 + reach);
        let (low, high) = with_room(least, most, log);
        let (low, high) = match measure {
            EffectMeasure::Correlation | EffectMeasure::RiskDifference => (low.max(-1.0), high.min(1.0)),
            EffectMeasure::Proportion => (low.max(0.0), high.min(1.0)),
            _ => (low, high),
        };
        Axis { log, low, high, left, right }
    }

    fn on(&self, value: f64) -> f64 {
        if self.log { value.ln() } else { value }
    }

    /// Place of a value, held between the ends.
    pub fn at(&self, value: f64) -> f64 {
        let share = ((self.on(value) - self.low) / (self.high - self.low)).clamp(0.0, 1.0);
        self.left + (self.right - self.left) * share
    }

    /// Place of an interval.
    pub fn reach(&self, interval: Interval) -> Reach {
        Reach {
            from: self.at(interval.low),
            to: self.at(interval.high),
            // `ln` of 0 is an end beyond every axis.
            beyond_left: self.on(interval.low) < self.low,
            beyond_right: self.on(interval.high) > self.high,
        }
    }

    /// Round values between the ends.
    pub fn marks(&self) -> Vec<f64> {
        if !self.log {
            return linear(self.low, self.high);
        }
        let decades: Vec<f64> = powers(self.low, self.high, &[1.0]);
        if decades.len() > MOST_MARKS {
            let every = decades.len().div_ceil(MOST_MARKS);
            let one = decades.iter().position(|d| (d - 1.0).abs() < 1e-9).unwrap_or(0);
            return decades.into_iter().enumerate().filter(|(i, _)| i % every == one % every).map(|(_, d)| d).collect();
        }
        let finer: [&[f64]; 3] =
            [&[1.0, 2.0, 5.0], &[1.0, 1.5, 2.0, 3.0, 5.0, 7.0], &[1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0]];
        let best = finer.iter().map(|steps| powers(self.low, self.high, steps)).find(|m| m.len() >= 3);
        match best {
            Some(marks) if marks.len() <= MOST_MARKS => marks,
            Some(_) => decades,
            // Less than a factor of about two: even steps.
            None => linear(self.low.exp(), self.high.exp()),
        }
    }
}

fn with_room(least: f64, most: f64, log: bool) -> (f64, f64) {
    let span = most - least;
    if span > 1e-9 * least.abs().max(most.abs()).max(1e-9) {
        return (least - ROOM * span, most + ROOM * span);
    }
    let around = if log { std::f64::consts::LN_2 } else { (least.abs() / 2.0).max(if least == 0.0 { 1.0 } else { 0.0 }) };
    (least - around, most + around)
}

/// 1, 2 or 5 times a power of ten, so that at most [`MOST_MARKS`] fit.
fn linear(low: f64, high: f64) -> Vec<f64> {
    let rough = (high - low) / 5.0;
    if !(rough.is_finite() && rough > 0.0) {
        return vec![low];
    }
    let power = 10_f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0].into_iter().map(|s| s * power).find(|s| *s >= rough * 0.999).unwrap_or(10.0 * power);
    let first = (low / step - 1e-9).ceil();
    (0..MOST_MARKS)
        .map(|i| (first + crate::compute::evidence::len(i)) * step)
        .take_while(|m| *m <= high + step * 1e-9)
        .map(|m| m + 0.0)
        .collect()
}

/// `steps` times every power of ten between two logarithms.
fn powers(low: f64, high: f64, steps: &[f64]) -> Vec<f64> {
    let decade = |x: f64| x / std::f64::consts::LN_10;
    let mut out = Vec::new();
    let mut power = decade(low).floor();
    while power <= decade(high) {
        let base = 10_f64.powf(power);
        out.extend(steps.iter().map(|s| s * base).filter(|m| (low..=high).contains(&m.ln())));
        power += 1.0;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use EffectMeasure as M;

    fn estimate(value: f64, low: f64, high: f64) -> Estimate {
        Estimate { value, interval: Interval { low, high } }
    }

    fn axis(measure: EffectMeasure, shown: &[Estimate], marks: &[f64]) -> Axis {
        Axis::new(measure, shown, marks, [0.0, 100.0])
    }

    fn close(found: &[f64], wanted: &[f64]) {
        let near = found.len() == wanted.len() && found.iter().zip(wanted).all(|(a, b)| (a - b).abs() < 1e-9 * b.abs().max(1.0));
        assert!(near, "{found:?} {wanted:?}");
    }

    #[test]
    fn marks_are_round_and_hold_no_effect() {
        close(&axis(M::MeanDifference, &[estimate(0.4, 0.1, 0.7)], &[0.0, 0.2, -0.2]).marks(), &[-0.2, 0.0, 0.2, 0.4, 0.6]);
        close(&axis(M::MeanDifference, &[estimate(-30.0, -47.0, -12.0)], &[0.0]).marks(), &[-40.0, -20.0, 0.0]);
    }

    #[test]
    fn a_ratio_and_its_inverse_lie_at_the_same_distance() {
        let a = axis(M::RiskRatio, &[estimate(0.5, 0.25, 1.0), estimate(2.0, 1.0, 4.0)], &[1.0]);
        assert!((a.at(1.0) - 50.0).abs() < 1e-9 && (a.at(0.5) + a.at(2.0) - 100.0).abs() < 1e-9);
        close(&a.marks(), &[0.5, 1.0, 2.0]);
        close(&axis(M::RiskRatio, &[estimate(1.0, 0.97, 1.04)], &[1.0]).marks(), &[0.98, 1.0, 1.02, 1.04]);
        let wide = axis(M::OddsRatio, &[estimate(1e-6, 1e-8, 1e-4), estimate(1e6, 1e4, 1e8)], &[1.0]).marks();
        assert!(wide.len() <= MOST_MARKS && wide.iter().any(|m| (m - 1.0).abs() < 1e-9), "{wide:?}");
    }

    #[test]
    fn a_huge_interval_is_clipped_and_says_so() {
        let usual = [estimate(0.4, 0.1, 0.7), estimate(0.3, 0.0, 0.6), estimate(0.5, 0.2, 0.8)];
        let huge = estimate(0.4, -40.0, 41.0);
        let all: Vec<Estimate> = usual.into_iter().chain([huge]).collect();
        let a = axis(M::MeanDifference, &all, &[0.0]);
        let reach = a.reach(huge.interval);
        assert!(reach.beyond_left && reach.beyond_right && reach.from.abs() < 1e-9 && (reach.to - 100.0).abs() < 1e-9);
        let usual = a.reach(all[0].interval);
        assert!(!usual.beyond_left && !usual.beyond_right && usual.to - usual.from > 10.0, "{usual:?}");
    }

    #[test]
    fn ends_without_bound_are_clipped() {
        let a = axis(M::RiskRatio, &[estimate(2.0, 0.0, f64::INFINITY), estimate(1.5, 1.0, 2.25)], &[1.0]);
        let reach = a.reach(Interval { low: 0.0, high: f64::INFINITY });
        assert!(reach.beyond_left && reach.beyond_right && reach.from <= 0.0 && reach.to >= 100.0, "{reach:?}");
    }

    #[test]
    fn equal_effects_without_spread_still_have_an_axis() {
        for (measure, value) in [(M::MeanDifference, 0.0), (M::MeanDifference, 3.0), (M::MeanDifference, -3.0), (M::RiskRatio, 1.0)] {
            let a = axis(measure, &[estimate(value, value, value), estimate(value, value, value)], &[value]);
            assert!((a.at(value) - 50.0).abs() < 1e-6, "{measure:?} {value}");
            assert!(a.marks().len() >= 2, "{:?}", a.marks());
        }
    }

    #[test]
    fn a_correlation_stays_inside_its_bounds() {
        let a = axis(M::Correlation, &[estimate(0.99, 0.9, 0.999)], &[0.0]);
        assert!((a.at(1.0) - 100.0).abs() < 1e-9 && a.marks().iter().all(|m| m.abs() <= 1.0));
    }
}

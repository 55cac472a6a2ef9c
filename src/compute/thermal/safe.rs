//! How long a source may lie: the longest first phase whose dose, cool-down included, stays at a limit.

use super::damage::Dose;
use super::history::History;
use super::run::{Resolution, run};
use super::stack::Run;

/// What must stay at or below its limit.
#[derive(Clone, Copy, Debug)]
pub enum Limit {
    /// A dose at the basal layer.
    Dose(Dose, f64),
    /// Seconds with the skin surface above a temperature in degC.
    Above(f64, f64),
}

impl Limit {
    /// How much of the limit a history uses: 1 is all of it.
    pub fn used(&self, history: &History) -> f64 {
        match *self {
            Limit::Dose(dose, limit) => history.basal().total(dose) / limit,
            Limit::Above(level, seconds) if seconds > 0.0 => history.skin().above(level) / seconds,
            Limit::Above(level, _) if history.skin().above(level) > 0.0 => f64::INFINITY,
            Limit::Above(..) => 0.0,
        }
    }
}

/// A run with another first phase length, in s.
fn lasting(of: &Run, seconds: f64) -> Run {
    let mut out = of.clone();
    if let Some(first) = out.phases.first_mut() {
        first.duration = seconds;
    }
    out
}

/// The longest first phase in s that keeps every limit, up to `most`; `None` if `most` keeps them too.
///
/// One long run without an end gives an upper bound; from there the time is closed in on to a
/// thousandth, cool-down included.
pub fn longest(of: &Run, limits: &[Limit], most: f64, resolution: Resolution) -> Option<f64> {
    let used = |seconds: f64| {
        let history = run(&lasting(of, seconds), resolution);
        limits.iter().map(|l| l.used(&history)).fold(0.0, f64::max)
    };
    let at_most = used(most);
    if at_most <= 1.0 {
        return None;
    }
    let (mut low, mut high) = (0.0, most);
    if let Some(bound) = bound(of, limits, most, resolution) {
        high = bound;
        // The dose after the end is small: the answer lies close below the bound.
        let close = 0.9 * bound;
        if used(close) <= 1.0 {
            low = close;
        } else {
            high = close;
        }
    }
    while high - low > (1e-3 * low).max(1e-3) {
        let mid = 0.5 * (low + high);
        if used(mid) <= 1.0 {
            low = mid;
        } else {
            high = mid;
        }
    }
    Some(low)
}

/// When the first of the limits is used up while the source still lies there, s.
fn bound(of: &Run, limits: &[Limit], most: f64, resolution: Resolution) -> Option<f64> {
    let mut long = lasting(of, most);
    long.phases.truncate(1);
    let history = run(&long, resolution);
    let first = |l: &Limit| match *l {
        Limit::Dose(dose, limit) => history.basal().reaches(dose, limit),
        Limit::Above(level, seconds) => history.skin().above_for(level, seconds),
    };
    limits.iter().filter_map(first).reduce(f64::min)
}

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
            Limit::Above(level, _) => {
                if history.skin().rises_to(level).is_some_and(|_| history.skin().above(level) > 0.0) {
                    f64::INFINITY
                } else {
                    0.0
                }
            }
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
/// Found by halving to 0.1 s or a thousandth, whichever is more.
pub fn longest(of: &Run, limits: &[Limit], most: f64, resolution: Resolution) -> Option<f64> {
    let keeps = |seconds: f64| {
        let history = run(&lasting(of, seconds), resolution);
        limits.iter().all(|l| l.used(&history) <= 1.0)
    };
    if keeps(most) {
        return None;
    }
    let (mut low, mut high) = (0.0, most);
    while high - low > 0.001_f64.max(5e-4 * low) {
        let mid = 0.5 * (low + high);
        if keeps(mid) {
            low = mid;
        } else {
            high = mid;
        }
    }
    Some(low)
}

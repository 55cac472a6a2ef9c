//! Estimates of the variance between studies, in the units of [`Studies`], where the smallest variance is 1.

use super::studies::Studies;
use super::{TauMethod, len};
use crate::compute::evidence::dist::chi2_quantile;
use crate::compute::evidence::{Interval, Level, root};

/// The estimate by one method.
pub fn estimate(studies: &Studies, method: TauMethod) -> f64 {
    match method {
        TauMethod::Fixed => 0.0,
        TauMethod::DerSimonianLaird => {
            let fit = studies.fit(0.0);
            ((fit.q - (len(studies.k()) - 1.0)) * fit.total / (2.0 * fit.pairs)).max(0.0)
        }
        TauMethod::PauleMandel => where_q_is(studies, len(studies.k()) - 1.0).unwrap_or(0.0),
        TauMethod::Reml => reml(studies),
    }
}

/// tau2 at which the generalised Q has this value; `None` if it is smaller already at 0.
fn where_q_is(studies: &Studies, wanted: f64) -> Option<f64> {
    let off = |u: f64| studies.fit(u.exp_m1()).q - wanted;
    if off(0.0) <= 0.0 {
        return None;
    }
    // Q(t) is at most the plain squares over 1 + t.
    let most = (studies.squares() / wanted).max(1.0).ln() + 1e-9;
    Some(root::between(off, 0.0, most).exp_m1())
}

/// Q-profile interval.
pub fn q_profile(studies: &Studies, level: Level) -> Option<Interval> {
    let df = len(studies.k()) - 1.0;
    let end = |p| where_q_is(studies, chi2_quantile(p, df));
    let high = end(level.tail())?;
    let square = studies.unit * studies.unit;
    let interval = Interval { low: end(1.0 - level.tail()).unwrap_or(0.0), high }.map(|t| t * square);
    interval.high.is_finite().then_some(interval)
}

/// The highest of all maxima of the restricted likelihood.
///
/// The slope is followed on a grid from 0 to where it can only be negative; each change from rising to
/// falling is a maximum, and there may be several. On the scale ln(1 + t) no variance changes its weight by
/// more than a third from point to point.
fn reml(studies: &Studies) -> f64 {
    let slope = |u: f64| {
        let fit = studies.fit(u.exp_m1());
        let squares: f64 = studies.weights(u.exp_m1()).map(|w| w * w).sum();
        fit.q_squared - (fit.total - squares / fit.total)
    };
    // With k-1 > squares * (widest + t)/(1 + t)^2 the slope is negative; from t = widest on the ratio of
    // widest + t to 1 + t is at most 2.
    let most = studies.widest().max(2.0 * studies.squares() / (len(studies.k()) - 1.0)).ln_1p() + 0.1;
    let mut best = (0.0, studies.likelihood(0.0));
    let (mut u, mut before) = (0.0, slope(0.0));
    while u < most {
        let next = (u + 0.4).min(most);
        let after = slope(next);
        if before > 0.0 && after <= 0.0 {
            let t = root::between(slope, u, next).exp_m1();
            let likelihood = studies.likelihood(t);
            if likelihood > best.1 {
                best = (t, likelihood);
            }
        }
        (u, before) = (next, after);
    }
    best.0
}

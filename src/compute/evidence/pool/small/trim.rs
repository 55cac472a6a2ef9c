//! Trim and fill with the estimator L0: studies without a counterpart on the other side are counted,
//! taken away to find the centre, and mirrored.

use super::at_least_three;
use crate::compute::evidence::pool::{IntervalMethod, Pooled, TauMethod, pool};
use crate::compute::evidence::{Effect, Refusal, len};

/// Side of the funnel on which studies seem to be missing.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Side {
    /// Among small effects.
    Left,
    /// Among large effects.
    Right,
}

/// What trim and fill gives.
#[derive(Clone, Debug, PartialEq)]
pub struct Trimmed {
    /// Where studies seem to be missing.
    pub side: Side,
    /// The mirror images that were added, from low to high.
    pub filled: Vec<Effect>,
    /// The pool with them.
    pub pooled: Pooled,
}

/// Variant of [`trim_and_fill`].
pub const TRIM_AND_FILL: &str = "L0; the side is where the regression on the standard error points";

/// Trim and fill.
///
/// # Errors
/// As a pool; with fewer than three studies; when standard errors are equal; when the count does not
/// settle.
pub fn trim_and_fill(effects: &[Effect], tau: TauMethod, by: IntervalMethod) -> Result<Trimmed, Refusal> {
    at_least_three(effects)?;
    let side = if slope(effects, tau)? < 0.0 { Side::Right } else { Side::Left };
    // Seen so that studies are missing on the left.
    let turned = |e: &Effect| if side == Side::Right { e.reversed() } else { *e };
    let mut sorted: Vec<Effect> = effects.iter().map(turned).collect();
    sorted.sort_by(|a, b| a.value.total_cmp(&b.value));
    let (mut missing, mut centre) = (0, centre_of(&sorted, tau, by)?);
    let mut rounds = 0;
    loop {
        let next = unmatched(&sorted, centre);
        let same = next == missing;
        if same {
            break;
        }
        missing = next;
        centre = centre_of(sorted.get(..sorted.len() - missing).unwrap_or_default(), tau, by)?;
        rounds += 1;
        if rounds > 100 {
            return Err(Refusal::Undefined { what: "studies", because: "trimming goes round in a circle" });
        }
    }
    let mirrored = |e: &Effect| turned(&Effect { value: 2.0 * centre - e.value, ..*e });
    let mut filled: Vec<Effect> = sorted.iter().skip(sorted.len() - missing).map(mirrored).collect();
    filled.sort_by(|a, b| a.value.total_cmp(&b.value));
    let all: Vec<Effect> = effects.iter().copied().chain(filled.iter().copied()).collect();
    Ok(Trimmed { side, pooled: pool(&all, tau, by)?, filled })
}

fn centre_of(sorted: &[Effect], tau: TauMethod, by: IntervalMethod) -> Result<f64, Refusal> {
    match sorted {
        [one] => Ok(one.value),
        more => Ok(pool(more, tau, by)?.estimate),
    }
}

/// L0: studies beyond the centre that nothing on the other side answers.
fn unmatched(sorted: &[Effect], centre: f64) -> usize {
    let mut by_distance: Vec<f64> = sorted.iter().map(|e| e.value - centre).collect();
    by_distance.sort_by(|a, b| a.abs().total_cmp(&b.abs()));
    let above: f64 = by_distance.iter().enumerate().filter(|(_, d)| **d > 0.0).map(|(i, _)| len(i + 1)).sum();
    let k = len(sorted.len());
    let estimate = ((4.0 * above - k * (k + 1.0)) / (2.0 * k - 1.0)).round_ties_even();
    (0..sorted.len()).take_while(|n| len(*n) < estimate).count()
}

/// Slope of effects on standard errors with weights 1/(v + tau2), tau2 left over by the regression.
fn slope(effects: &[Effect], tau: TauMethod) -> Result<f64, Refusal> {
    let t = match tau {
        TauMethod::Fixed => 0.0,
        TauMethod::DerSimonianLaird => residual_tau2(effects),
        TauMethod::PauleMandel | TauMethod::Reml => {
            return Err(Refusal::Undefined {
                what: "studies",
                because: "trim and fill is made with a fixed effect or DerSimonian and Laird",
            });
        }
    };
    line(effects, t).map(|l| l.slope).ok_or(Refusal::Undefined { what: "studies", because: "all standard errors are equal" })
}

struct Line {
    slope: f64,
    left: f64,
    /// Trace of the weights less what the line takes up.
    trace: f64,
}

fn line(effects: &[Effect], t: f64) -> Option<Line> {
    let points: Vec<(f64, f64, f64)> = effects.iter().map(|e| (1.0 / (e.variance + t), e.se(), e.value)).collect();
    let total: f64 = points.iter().map(|p| p.0).sum();
    let mean = |of: fn(&(f64, f64, f64)) -> f64| points.iter().map(|p| p.0 * of(p)).sum::<f64>() / total;
    let (x0, y0) = (mean(|p| p.1), mean(|p| p.2));
    let across: f64 = points.iter().map(|(w, x, _)| w * (x - x0).powi(2)).sum();
    if across <= 1e-24 * total * x0 * x0 {
        return None;
    }
    let slope = points.iter().map(|(w, x, y)| w * (x - x0) * (y - y0)).sum::<f64>() / across;
    let left = points.iter().map(|(w, x, y)| w * (y - y0 - slope * (x - x0)).powi(2)).sum();
    let squares: f64 = points.iter().map(|(w, _, _)| w * w).sum();
    let taken: f64 = points.iter().map(|(w, x, _)| (w * (x - x0)).powi(2)).sum();
    Some(Line { slope, left, trace: total - squares / total - taken / across })
}

fn residual_tau2(effects: &[Effect]) -> f64 {
    line(effects, 0.0).map_or(0.0, |l| ((l.left - (len(effects.len()) - 2.0)) / l.trace).max(0.0))
}

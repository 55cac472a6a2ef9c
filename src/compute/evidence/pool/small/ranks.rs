//! Kendall's rank correlation of standardised effects with their variances.

use super::at_least_three;
use crate::compute::evidence::dist::normal_two_sided;
use crate::compute::evidence::pool::{IntervalMethod, TauMethod, pool};
use crate::compute::evidence::{Effect, Refusal, len};
use std::cmp::Ordering;

/// Result of the rank test.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct RankTest {
    /// Kendall's tau-b.
    pub tau: f64,
    /// Two-sided p.
    pub p: f64,
    /// How p was found.
    pub variant: &'static str,
}

/// Most studies for which all orders are counted.
const EXACT_BELOW: usize = 50;

/// The test: effects less the fixed estimate, over their own standard error, against variances.
///
/// # Errors
/// As a pool; with fewer than three studies; when all effects or all variances are equal.
pub fn begg(effects: &[Effect]) -> Result<RankTest, Refusal> {
    at_least_three(effects)?;
    let fixed = pool(effects, TauMethod::Fixed, IntervalMethod::Wald)?;
    let of_mean = fixed.se.powi(2);
    let scores: Vec<f64> = effects.iter().map(|e| (e.value - fixed.estimate) / (e.variance - of_mean).sqrt()).collect();
    let variances: Vec<f64> = effects.iter().map(|e| e.variance).collect();
    if scores.iter().any(|s| !s.is_finite()) {
        return Err(Refusal::Undefined { what: "studies", because: "one study has all the weight" });
    }
    kendall(&scores, &variances)
}

fn kendall(x: &[f64], y: &[f64]) -> Result<RankTest, Refusal> {
    let n = x.len();
    let sign = |o: Ordering| match o {
        Ordering::Less => -1.0,
        Ordering::Equal => 0.0,
        Ordering::Greater => 1.0,
    };
    let points: Vec<(f64, f64)> = x.iter().copied().zip(y.iter().copied()).collect();
    let mut score = 0.0;
    for (i, a) in points.iter().enumerate() {
        for b in points.iter().take(i) {
            score += sign(a.0.total_cmp(&b.0)) * sign(a.1.total_cmp(&b.1));
        }
    }
    let (ties_x, ties_y) = (ties(x), ties(y));
    let pairs = len(n) * (len(n) - 1.0) / 2.0;
    let tied = |t: &[f64]| t.iter().map(|t| t * (t - 1.0) / 2.0).sum::<f64>();
    let (free_x, free_y) = (pairs - tied(&ties_x), pairs - tied(&ties_y));
    if free_x <= 0.0 || free_y <= 0.0 {
        return Err(Refusal::Undefined { what: "studies", because: "all effects or all variances are equal" });
    }
    let tau = (score / (free_x.sqrt() * free_y.sqrt())).clamp(-1.0, 1.0);
    let no_ties = ties_x.is_empty() && ties_y.is_empty();
    if no_ties && n < EXACT_BELOW {
        return Ok(RankTest { tau, p: exact(n, score), variant: "Kendall's tau-b, exact p" });
    }
    let p = normal_two_sided(score / variance(len(n), &ties_x, &ties_y).sqrt());
    Ok(RankTest { tau, p, variant: "Kendall's tau-b, normal p without continuity correction" })
}

/// Sizes of groups of equal values.
fn ties(values: &[f64]) -> Vec<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted.chunk_by(|a, b| a.total_cmp(b).is_eq()).filter(|g| g.len() > 1).map(|g| len(g.len())).collect()
}

/// Variance of the score without association (Kendall 1970, from memory).
fn variance(n: f64, ties_x: &[f64], ties_y: &[f64]) -> f64 {
    let sum = |t: &[f64], of: fn(f64) -> f64| t.iter().map(|t| of(*t)).sum::<f64>();
    let full = |n: f64| n * (n - 1.0) * (2.0 * n + 5.0);
    let two = |n: f64| n * (n - 1.0);
    let three = |n: f64| n * (n - 1.0) * (n - 2.0);
    (full(n) - sum(ties_x, full) - sum(ties_y, full)) / 18.0
        + sum(ties_x, two) * sum(ties_y, two) / (2.0 * two(n))
        + sum(ties_x, three) * sum(ties_y, three) / (9.0 * three(n))
}

/// Share of all orders with a score at least as far from 0.
fn exact(n: usize, score: f64) -> f64 {
    // Shares of orders of the first m by their number of concordant pairs: the next one falls in with
    // equal chance in each of its places.
    let mut shares = vec![1.0];
    for m in 2..=n {
        let mut next = vec![0.0; shares.len() + m - 1];
        for (pairs, share) in shares.iter().enumerate() {
            for place in next.iter_mut().skip(pairs).take(m) {
                *place += share / len(m);
            }
        }
        shares = next;
    }
    let most = len(shares.len() - 1);
    let far = |pairs: usize| (2.0 * len(pairs) - most).abs() >= score.abs() - 0.5;
    shares.iter().enumerate().filter(|(pairs, _)| far(*pairs)).map(|(_, share)| share).sum::<f64>().min(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// All 24 orders of four by hand: scores 6, 4, 2, 0, -2, -4, -6 come 1, 3, 5, 6, 5, 3, 1 times.
    #[test]
    fn all_orders_of_four_are_counted() {
        for (score, wanted) in [(6.0, 2.0), (4.0, 8.0), (2.0, 18.0), (0.0, 24.0), (-4.0, 8.0)] {
            assert!((exact(4, score) - wanted / 24.0).abs() < 1e-15, "{score}");
        }
    }
}

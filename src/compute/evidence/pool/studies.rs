//! Studies in units in which no sum of weights overflows: the smallest variance is 1 and the first
//! effect is 0.

use crate::compute::evidence::{Effect, Refusal, Scale};

/// Largest effect and variance in these units: their squares, and sums of squares, stay within range.
const MOST: f64 = 1e140;

/// Effects and variances, scaled and shifted.
#[derive(Clone, Debug)]
pub struct Studies {
    pub scale: Scale,
    /// Effects, less the first, over `unit`.
    y: Vec<f64>,
    /// Variances over `unit` squared.
    v: Vec<f64>,
    /// Square root of the smallest variance.
    pub unit: f64,
    /// The first effect.
    origin: f64,
}

/// Sums with the weights 1/(variance + tau2).
#[derive(Copy, Clone, Debug, Default)]
pub struct Fit {
    /// Sum of weights.
    pub total: f64,
    /// Weighted mean.
    pub mean: f64,
    /// Weighted squares about the mean.
    pub q: f64,
    /// The same with squared weights.
    pub q_squared: f64,
    /// Sum of products of weights over all pairs of studies.
    pub pairs: f64,
}

impl Studies {
    /// # Errors
    /// With fewer than two studies, different scales, or a study without variance.
    pub fn new(effects: &[Effect]) -> Result<Self, Refusal> {
        let Some((first, _)) = effects.split_first().filter(|(_, rest)| !rest.is_empty()) else {
            return Err(Refusal::TooFew { what: "studies", least: 2, found: effects.len() });
        };
        for (study, e) in effects.iter().enumerate() {
            Effect::new(e.scale, e.value, e.variance, e.variant)?;
            if e.variance <= 0.0 {
                return Err(Refusal::NoVariance { study });
            }
            if e.scale != first.scale {
                return Err(Refusal::Mixed { study, found: e.scale, wanted: first.scale });
            }
        }
        let unit = effects.iter().map(Effect::se).fold(f64::INFINITY, f64::min);
        let y: Vec<f64> = effects.iter().map(|e| (e.value - first.value) / unit).collect();
        let v: Vec<f64> = effects.iter().map(|e| (e.se() / unit).powi(2)).collect();
        if y.iter().chain(&v).any(|x| !x.is_finite() || x.abs() > MOST) {
            return Err(Refusal::OutOfRange { what: "studies" });
        }
        Ok(Self { scale: first.scale, y, v, unit, origin: first.value })
    }

    pub fn k(&self) -> usize {
        self.y.len()
    }

    /// Largest variance.
    pub fn widest(&self) -> f64 {
        self.v.iter().copied().fold(1.0, f64::max)
    }

    /// Squares about the plain mean.
    pub fn squares(&self) -> f64 {
        let mean = self.y.iter().sum::<f64>() / super::len(self.k());
        self.y.iter().map(|y| (y - mean).powi(2)).sum()
    }

    /// From these units back to those of the effects.
    pub fn back(&self, y: f64) -> f64 {
        self.origin + self.unit * y
    }

    pub fn weights(&self, t: f64) -> impl Iterator<Item = f64> + '_ {
        self.v.iter().map(move |v| 1.0 / (v + t))
    }

    /// Sums at tau2 = `t`.
    pub fn fit(&self, t: f64) -> Fit {
        let mut out = Fit::default();
        let mut sum = 0.0;
        for (w, y) in self.weights(t).zip(&self.y) {
            out.pairs += w * out.total;
            out.total += w;
            sum += w * y;
        }
        out.mean = sum / out.total;
        for (w, y) in self.weights(t).zip(&self.y) {
            let part = w * (y - out.mean).powi(2);
            out.q += part;
            out.q_squared += w * part;
        }
        out
    }

    /// Restricted log likelihood at `t`, but for a constant.
    pub fn likelihood(&self, t: f64) -> f64 {
        let fit = self.fit(t);
        -0.5 * (self.v.iter().map(|v| (v + t).ln()).sum::<f64>() + fit.total.ln() + fit.q)
    }

    /// Standard error of tau2 by the expected information at `t`.
    pub fn tau2_se(&self, t: f64) -> Option<f64> {
        let (mut s1, mut s2, mut s3) = (0.0, 0.0, 0.0);
        for w in self.weights(t) {
            s1 += w;
            s2 += w * w;
            s3 += w * w * w;
        }
        let information = s2 - 2.0 * s3 / s1 + (s2 / s1).powi(2);
        Some((2.0 / information).sqrt()).filter(|se| se.is_finite())
    }
}

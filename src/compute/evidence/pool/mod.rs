//! Pooling of effects: fixed or random, how sure, how unlike the studies are, and where the effect of a
//! further study may lie.
//!
//! Estimators are named by their authors: DerSimonian and Laird 1986, Paule and Mandel 1982, restricted
//! likelihood; Knapp and Hartung 2003; Q-profile interval of Viechtbauer 2007; prediction interval with
//! k - 2 degrees of freedom of Higgins, Thompson and Spiegelhalter 2009 (titles from memory; the numbers
//! are held against `tests/reference/evidence`). Iterations run to full convergence: to stop early
//! changes the fourth to sixth digit.

pub mod small;
mod studies;
mod tau;

use super::dist::{chi2_above, normal_two_sided, t_two_sided};
use super::{Effect, Interval, Level, Refusal, Scale, len, told};
use studies::Studies;

/// How the variance between studies is estimated.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum TauMethod {
    /// Not at all: one true effect, inverse variance.
    Fixed,
    /// DerSimonian and Laird, not below 0.
    DerSimonianLaird,
    /// Paule and Mandel.
    PauleMandel,
    /// Restricted maximum likelihood.
    Reml,
}

/// How the interval of the estimate is made.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum IntervalMethod {
    /// Normal quantile and the standard error of the weights.
    Wald,
    /// t with k - 1 and the standard error of Knapp and Hartung, which may be the smaller one.
    KnappHartung,
    /// The same, but never with a standard error smaller than Wald's.
    KnappHartungAdHoc,
}

/// How the prediction interval is made: quantile and standard error.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum PredictionMethod {
    /// Normal quantile, Wald standard error.
    ZWald,
    /// t with k - 1, Wald standard error.
    TKm1Wald,
    /// t with k - 1, standard error of Knapp and Hartung.
    TKm1KnappHartung,
    /// t with k - 2, Wald standard error; none for two studies.
    TKm2Wald,
}

impl TauMethod {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Fixed, Self::DerSimonianLaird, Self::PauleMandel, Self::Reml];

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Fixed => "fixed effect, inverse variance",
            Self::DerSimonianLaird => "random effects, DerSimonian and Laird",
            Self::PauleMandel => "random effects, Paule and Mandel",
            Self::Reml => "random effects, restricted maximum likelihood",
        }
    }
}

impl IntervalMethod {
    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Wald => "normal quantile, Wald standard error",
            Self::KnappHartung => "t with k-1, standard error of Knapp and Hartung, not truncated",
            Self::KnappHartungAdHoc => "t with k-1, standard error of Knapp and Hartung, never below Wald's",
        }
    }
}

impl PredictionMethod {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::ZWald, Self::TKm1Wald, Self::TKm1KnappHartung, Self::TKm2Wald];

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::ZWald => "normal quantile, Wald standard error",
            Self::TKm1Wald => "t with k-1, Wald standard error",
            Self::TKm1KnappHartung => "t with k-1, standard error of Knapp and Hartung",
            Self::TKm2Wald => "t with k-2, Wald standard error",
        }
    }
}

/// How unlike the studies are.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Heterogeneity {
    /// Cochran's Q, with weights of the fixed effect.
    pub q: f64,
    /// Its degrees of freedom, k - 1.
    pub df: f64,
    /// Its p by chi square.
    pub p: f64,
    /// I2 in percent from Q: max(0, (Q - df)/Q).
    pub i2_from_q: f64,
    /// H2 from Q: Q/df, not truncated.
    pub h2_from_q: f64,
    /// I2 in percent from tau2 and the typical variance; from Q under a fixed effect.
    pub i2_from_tau2: f64,
    /// H2 from tau2 and the typical variance; from Q under a fixed effect.
    pub h2_from_tau2: f64,
}

/// The estimate against 0 by one method.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Test {
    /// Standard error.
    pub se: f64,
    /// Estimate over standard error; `None` if that is 0.
    pub statistic: Option<f64>,
    /// Degrees of freedom; `None` for the normal distribution.
    pub df: Option<f64>,
    /// Two-sided p.
    pub p: Option<f64>,
    /// Interval.
    pub interval: Interval,
}

/// A pooled estimate, on the scale of analysis.
#[derive(Clone, Debug, PartialEq)]
pub struct Pooled {
    /// Scale of the effects.
    pub scale: Scale,
    /// Number of studies.
    pub k: usize,
    /// How the variance between studies was estimated.
    pub tau_method: TauMethod,
    /// How `interval` was made.
    pub interval_method: IntervalMethod,
    /// The estimate.
    pub estimate: f64,
    /// Its standard error by `interval_method`.
    pub se: f64,
    /// Its p by `interval_method`.
    pub p: Option<f64>,
    /// Its 95 % interval by `interval_method`.
    pub interval: Interval,
    /// Variance between studies; 0 under a fixed effect.
    pub tau2: f64,
    /// Standard error of tau2 by the expected information; restricted likelihood only.
    pub tau2_se: Option<f64>,
    /// 95 % Q-profile interval of tau2; `None` if the studies agree more closely than any tau2 lets expect.
    pub tau2_interval: Option<Interval>,
    /// How unlike the studies are.
    pub heterogeneity: Heterogeneity,
    /// Weight of each study, in percent, in the order given.
    pub weights: Vec<f64>,
    /// 95 % prediction interval with its method. None under a fixed effect, and none of fewer than three studies.
    pub prediction: Option<(PredictionMethod, Interval)>,
    /// Standard error of the weights.
    wald_se: f64,
    /// Weighted squares about the estimate over k - 1.
    spread: f64,
}

/// Pools effects; 95 % intervals.
///
/// The prediction interval goes with `by`: after Knapp and Hartung theirs with k - 1, otherwise that with
/// k - 2. [`Pooled::predicted`] gives the others.
///
/// # Errors
/// With fewer than two studies, studies on different scales, and a study without variance.
pub fn pool(effects: &[Effect], tau: TauMethod, by: IntervalMethod) -> Result<Pooled, Refusal> {
    let studies = Studies::new(effects)?;
    let mut pooled = pooled(&studies, tau, by)?;
    pooled.tau2_interval = tau::q_profile(&studies, Level::P95);
    Ok(pooled)
}

/// All but the interval of tau2.
fn pooled(studies: &Studies, tau: TauMethod, by: IntervalMethod) -> Result<Pooled, Refusal> {
    let t = tau::estimate(studies, tau);
    let fit = studies.fit(t);
    let df = len(studies.k()) - 1.0;
    let unit = studies.unit;
    let mut out = Pooled {
        scale: studies.scale,
        k: studies.k(),
        tau_method: tau,
        interval_method: by,
        estimate: told(studies.back(fit.mean), "studies")?,
        se: 0.0,
        p: None,
        interval: Interval { low: 0.0, high: 0.0 },
        tau2: told(t * unit * unit, "studies")?,
        tau2_se: (tau == TauMethod::Reml).then(|| studies.tau2_se(t)).flatten().map(|se| se * unit * unit),
        tau2_interval: None,
        heterogeneity: heterogeneity(studies, tau, t)?,
        weights: studies.weights(t).map(|w| 100.0 * w / fit.total).collect(),
        prediction: None,
        wald_se: told(unit / fit.total.sqrt(), "studies")?,
        spread: told(fit.q / df, "studies")?,
    };
    let test = out.tested(by, Level::P95);
    (out.se, out.p, out.interval) = (test.se, test.p, test.interval);
    told(out.interval.low, "studies").and(told(out.interval.high, "studies"))?;
    let method = if by == IntervalMethod::Wald { PredictionMethod::TKm2Wald } else { PredictionMethod::TKm1KnappHartung };
    out.prediction = out.predicted(method, Level::P95).filter(|_| out.k > 2).map(|interval| (method, interval));
    Ok(out)
}

fn heterogeneity(studies: &Studies, tau: TauMethod, t: f64) -> Result<Heterogeneity, Refusal> {
    let fixed = studies.fit(0.0);
    let (q, df) = (told(fixed.q, "studies")?, len(studies.k()) - 1.0);
    let i2_from_q = if q > df { 100.0 * (q - df) / q } else { 0.0 };
    let h2_from_q = q / df;
    let (i2_from_tau2, h2_from_tau2) = if tau == TauMethod::Fixed {
        (i2_from_q, h2_from_q)
    } else {
        // tau2 over the typical variance (k-1) sum w / ((sum w)^2 - sum w^2).
        let ratio = t * 2.0 * fixed.pairs / (df * fixed.total);
        (100.0 * ratio / (1.0 + ratio), ratio + 1.0)
    };
    Ok(Heterogeneity {
        q,
        df,
        p: chi2_above(q, df),
        i2_from_q,
        h2_from_q,
        i2_from_tau2: told(i2_from_tau2, "studies")?,
        h2_from_tau2: told(h2_from_tau2, "studies")?,
    })
}

impl Pooled {
    /// Standard error, test and interval by another method or at another level.
    pub fn tested(&self, by: IntervalMethod, level: Level) -> Test {
        let factor = match by {
            IntervalMethod::Wald => 1.0,
            IntervalMethod::KnappHartung => self.spread.sqrt(),
            IntervalMethod::KnappHartungAdHoc => self.spread.max(1.0).sqrt(),
        };
        let se = self.wald_se * factor;
        let df = (by != IntervalMethod::Wald).then(|| len(self.k) - 1.0);
        let statistic = Some(self.estimate / se).filter(|t| t.is_finite());
        let p = statistic.map(|t| df.map_or_else(|| normal_two_sided(t), |df| t_two_sided(t, df)));
        let quantile = df.map_or_else(|| level.z(), |df| level.t(df));
        Test { se, statistic, df, p, interval: Interval::around(self.estimate, quantile * se) }
    }

    /// Prediction interval by one method; `None` under a fixed effect and where the method has none.
    pub fn predicted(&self, by: PredictionMethod, level: Level) -> Option<Interval> {
        if self.tau_method == TauMethod::Fixed {
            return None;
        }
        let k = len(self.k);
        let (quantile, se) = match by {
            PredictionMethod::ZWald => (level.z(), self.wald_se),
            PredictionMethod::TKm1Wald => (level.t(k - 1.0), self.wald_se),
            PredictionMethod::TKm1KnappHartung => (level.t(k - 1.0), self.wald_se * self.spread.sqrt()),
            PredictionMethod::TKm2Wald if self.k > 2 => (level.t(k - 2.0), self.wald_se),
            PredictionMethod::TKm2Wald => return None,
        };
        let interval = Interval::around(self.estimate, quantile * self.tau2.sqrt().hypot(se));
        (interval.low.is_finite() && interval.high.is_finite()).then_some(interval)
    }

    /// Estimate and interval as shown to people: ratios instead of their logarithms.
    pub fn shown(&self) -> super::Estimate {
        let show = |x| self.scale.show(x);
        super::Estimate { value: show(self.estimate), interval: self.interval.map(show) }
    }
}

/// The pool without each study in turn, in the order of the studies; without the interval of tau2.
///
/// # Errors
/// As [`pool`], and with fewer than three studies.
pub fn leave_one_out(effects: &[Effect], tau: TauMethod, by: IntervalMethod) -> Result<Vec<Pooled>, Refusal> {
    if effects.len() < 3 {
        return Err(Refusal::TooFew { what: "studies", least: 3, found: effects.len() });
    }
    Studies::new(effects)?;
    let without = |i: usize| effects.iter().enumerate().filter(|(j, _)| *j != i).map(|(_, e)| *e).collect::<Vec<_>>();
    (0..effects.len()).map(|i| pooled(&Studies::new(&without(i))?, tau, by)).collect()
}

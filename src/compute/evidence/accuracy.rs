//! How well a test tells those who have a condition from those who do not.
//!
//! Score intervals for shares; likelihood ratios by the logarithm (Simel DL et al, J Clin Epidemiol
//! 1991;44:763-770), odds ratio by Woolf (from memory; held against `tests/reference/evidence`).

use super::effect::proportion::wilson_of;
use super::refusal::{count, inside};
use super::{Estimate, Interval, Level, Refusal};

/// Results of a test against what is true.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Counts {
    /// Positive, with the condition.
    pub tp: f64,
    /// Positive, without it.
    pub fp: f64,
    /// Negative, with the condition.
    pub r#fn: f64,
    /// Negative, without it.
    pub tn: f64,
}

/// A share of people with its interval.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Share {
    /// How many.
    pub numerator: f64,
    /// Of how many.
    pub denominator: f64,
    /// The share with its score interval; `None` of nobody.
    pub estimate: Option<Estimate>,
}

/// A ratio analysed by its logarithm.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Ratio {
    /// The ratio; `None` where it has no value or is infinite.
    pub value: Option<f64>,
    /// True if it is infinite: no false results of its kind.
    pub infinite: bool,
    /// Standard error of its logarithm; `None` with an empty cell.
    pub log_se: Option<f64>,
    /// Its interval.
    pub interval: Option<Interval>,
}

/// Likelihood ratios and odds ratio.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Ratios {
    /// Of a positive result.
    pub positive: Ratio,
    /// Of a negative result.
    pub negative: Ratio,
    /// Odds of a positive result with the condition over those without.
    pub odds: Ratio,
}

/// What a table of results says of a test.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Accuracy {
    /// Positive among those with the condition.
    pub sensitivity: Share,
    /// Negative among those without.
    pub specificity: Share,
    /// With the condition among the positive.
    pub ppv: Share,
    /// Without it among the negative.
    pub npv: Share,
    /// Right among all.
    pub accuracy: Share,
    /// With the condition among all.
    pub prevalence: Share,
    /// Sensitivity plus specificity less 1.
    pub youden: Option<f64>,
    /// As counted.
    pub ratios: Ratios,
    /// With 0.5 added to all cells; only if one is empty.
    pub corrected: Option<Ratios>,
}

/// Probability of the condition after a result.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct PostTest {
    /// After a positive result.
    pub positive: Option<f64>,
    /// With the ends of the likelihood ratio.
    pub positive_interval: Option<Interval>,
    /// After a negative result.
    pub negative: Option<f64>,
    /// With the ends of the likelihood ratio.
    pub negative_interval: Option<Interval>,
}

/// What a table of results says of a test.
///
/// # Errors
/// If a count is negative or not whole, or all are 0.
pub fn accuracy(of: &Counts, level: Level) -> Result<Accuracy, Refusal> {
    let Counts { tp, fp, r#fn, tn } = *of;
    for (what, found) in [("tp", tp), ("fp", fp), ("fn", r#fn), ("tn", tn)] {
        count(what, found, 0.0)?;
    }
    let n = super::told(tp + fp + r#fn + tn, "tp")?;
    if n <= 0.0 {
        return Err(Refusal::Undefined { what: "tp", because: "nobody was tested" });
    }
    let share = |x: f64, n: f64| Share {
        numerator: x,
        denominator: n,
        estimate: (n > 0.0).then(|| Estimate { value: x / n, interval: wilson_of(x, n, level) }),
    };
    let (sensitivity, specificity) = (share(tp, tp + r#fn), share(tn, tn + fp));
    let youden = sensitivity.estimate.zip(specificity.estimate).map(|(a, b)| a.value + b.value - 1.0);
    let empty = [tp, fp, r#fn, tn].iter().any(|c| *c <= 0.0);
    let more = Counts { tp: tp + 0.5, fp: fp + 0.5, r#fn: r#fn + 0.5, tn: tn + 0.5 };
    Ok(Accuracy {
        sensitivity,
        specificity,
        ppv: share(tp, tp + fp),
        npv: share(tn, tn + r#fn),
        accuracy: share(tp + tn, n),
        prevalence: share(tp + r#fn, n),
        youden,
        ratios: ratios(of, level),
        corrected: empty.then(|| ratios(&more, level)),
    })
}

fn ratios(of: &Counts, level: Level) -> Ratios {
    let Counts { tp, fp, r#fn, tn } = *of;
    let (with, without) = (tp + r#fn, fp + tn);
    // x of `with` over y of `without`.
    let likelihood = |x: f64, y: f64| ratio((x / with) / (y / without), 1.0 / x - 1.0 / with + 1.0 / y - 1.0 / without, level);
    Ratios {
        positive: likelihood(tp, fp),
        negative: likelihood(r#fn, tn),
        odds: ratio((tp / fp) * (tn / r#fn), 1.0 / tp + 1.0 / fp + 1.0 / r#fn + 1.0 / tn, level),
    }
}

fn ratio(value: f64, variance: f64, level: Level) -> Ratio {
    let log_se = Some(variance.max(0.0).sqrt()).filter(|se| se.is_finite());
    let interval = log_se.map(|se| Interval::around(value.ln(), level.z() * se).map(f64::exp));
    let finite = |i: &Interval| i.low.is_finite() && i.high.is_finite();
    Ratio { value: Some(value).filter(|v| v.is_finite()), infinite: value.is_infinite(), log_se, interval: interval.filter(finite) }
}

/// Probabilities after a result, from that before, which is taken as known.
///
/// # Errors
/// If the probability before is not between 0 and 1.
pub fn post_test(ratios: &Ratios, pretest: f64) -> Result<PostTest, Refusal> {
    let p = inside("pretest", pretest, 0.0, 1.0)?;
    let after = |ratio: f64| p * ratio / (1.0 - p + p * ratio);
    let value = |r: &Ratio| if r.infinite { Some(1.0) } else { r.value.map(after) };
    let ends = |r: &Ratio| r.interval.map(|i| i.map(after));
    Ok(PostTest {
        positive: value(&ratios.positive),
        positive_interval: ends(&ratios.positive),
        negative: value(&ratios.negative),
        negative_interval: ends(&ratios.negative),
    })
}

/// People among whom not one event has to be seen to rule out, at this level, that events are as frequent as
/// `rate`: ln(1 - level) / ln(1 - rate), rounded up.
///
/// # Errors
/// If the rate is not between 0 and 1.
pub fn people_without_event(rate: f64, level: Level) -> Result<f64, Refusal> {
    let rate = inside("rate", rate, 0.0, 1.0)?;
    super::told(((1.0 - level.value()).ln() / (-rate).ln_1p()).ceil(), "rate")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Arithmetic: 0.95^59 < 0.05 < 0.95^58, and so on.
    #[test]
    fn as_many_as_it_takes_to_rule_out_a_rate() {
        for (rate, people) in [(0.05, 59.0), (0.10, 29.0), (0.01, 299.0)] {
            assert_eq!(people_without_event(rate, Level::P95), Ok(people));
        }
    }
}

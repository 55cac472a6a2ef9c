//! Two raters and one table: agreement beyond chance.
//!
//! Standard errors: Fleiss JL, Cohen J, Everitt BS, Psychol Bull 1969;72:323-327, one for the interval and
//! one under no agreement for the test. Prevalence, bias and the adjusted kappa: Byrt T, Bishop J, Carlin
//! JB, J Clin Epidemiol 1993;46:423-429; agreement on each of two: Feinstein AR, Cicchetti DV 1990 (from
//! memory; held against `tests/reference/evidence`).

use super::table;
use crate::compute::evidence::dist::normal_two_sided;
use crate::compute::evidence::effect::proportion::wilson_of;
use crate::compute::evidence::refusal::count;
use crate::compute::evidence::{Estimate, Interval, Level, Refusal, len};

/// How far apart two answers count as a disagreement.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Weights {
    /// Any two answers disagree alike.
    Unweighted,
    /// 1 - |i-j|/(k-1).
    Linear,
    /// 1 - ((i-j)/(k-1))^2.
    Quadratic,
}

impl Weights {
    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Unweighted => "unweighted",
            Self::Linear => "agreement weights 1 - |i-j|/(k-1)",
            Self::Quadratic => "agreement weights 1 - ((i-j)/(k-1))^2",
        }
    }

    fn of(self, apart: f64, most: f64) -> f64 {
        match self {
            Self::Unweighted => f64::from(u8::from(apart == 0.0)),
            Self::Linear => 1.0 - apart.abs() / most,
            Self::Quadratic => 1.0 - (apart / most).powi(2),
        }
    }
}

/// Kappa of one table.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Kappa {
    /// Weighted share of agreement.
    pub observed: f64,
    /// The same by chance, from the margins.
    pub expected: f64,
    /// Kappa.
    pub kappa: f64,
    /// Standard error for the interval.
    pub se: f64,
    /// Interval by the normal quantile.
    pub interval: Interval,
    /// Standard error if there were no agreement beyond chance.
    pub se_null: f64,
    /// Kappa over `se_null`.
    pub z_null: Option<f64>,
    /// Its two-sided p.
    pub p_null: Option<f64>,
}

/// What else a table says.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Beside {
    /// People rated.
    pub n: f64,
    /// Answers possible.
    pub categories: f64,
    /// Standard error of the unweighted kappa in the older simple form of Cohen 1960.
    pub se_cohen: f64,
    /// Kappa as if margins were even: (k po - 1)/(k - 1).
    pub adjusted: Estimate,
    /// Its standard error.
    pub adjusted_se: f64,
    /// Highest kappa that the margins allow.
    pub most: f64,
    /// Only for two answers.
    pub two: Option<Two>,
}

/// What a table of two answers says besides.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Two {
    /// Both say the first less both say the second, as a share.
    pub prevalence_index: f64,
    /// First rater alone says the first less second rater alone, as a share.
    pub bias_index: f64,
    /// Agreement on the first answer; `None` if nobody gave it.
    pub positive: Option<f64>,
    /// Agreement on the second answer; `None` if nobody gave it.
    pub negative: Option<f64>,
    /// Interval of the adjusted kappa by the score interval of agreement.
    pub adjusted_wilson: Interval,
}

/// Shares of a square table with their margins.
struct Shares {
    n: f64,
    k: f64,
    cells: Vec<Vec<f64>>,
    rows: Vec<f64>,
    columns: Vec<f64>,
}

fn shares(rows: &[Vec<f64>]) -> Result<Shares, Refusal> {
    let (k, _) = table("table", rows, 2, 2)?;
    if rows.len() != rows.first().map_or(0, Vec::len) {
        return Err(Refusal::Uneven { what: "table", row: 0, wanted: rows.len(), found: rows.first().map_or(0, Vec::len) });
    }
    for cell in rows.iter().flatten() {
        count("table", *cell, 0.0)?;
    }
    let n: f64 = rows.iter().flatten().sum();
    if n < 1.0 {
        return Err(Refusal::Undefined { what: "table", because: "nobody was rated" });
    }
    let cells: Vec<Vec<f64>> = rows.iter().map(|r| r.iter().map(|c| c / n).collect()).collect();
    let side: Vec<f64> = cells.iter().map(|r| r.iter().sum()).collect();
    let top = (0..rows.len()).map(|j| cells.iter().filter_map(|r| r.get(j)).sum()).collect();
    Ok(Shares { n, k, cells, rows: side, columns: top })
}

impl Shares {
    /// Row, column and share of each cell.
    fn each(&self) -> impl Iterator<Item = (usize, usize, f64)> + '_ {
        self.cells.iter().enumerate().flat_map(|(i, row)| row.iter().enumerate().map(move |(j, share)| (i, j, *share)))
    }

    /// Share of the cell by chance.
    fn chance(&self, i: usize, j: usize) -> f64 {
        self.rows.get(i).zip(self.columns.get(j)).map_or(0.0, |(a, b)| a * b)
    }

    fn weight(&self, weights: Weights, i: usize, j: usize) -> f64 {
        weights.of(len(i) - len(j), self.k - 1.0)
    }

    fn diagonal(&self) -> impl Iterator<Item = (f64, f64, f64)> + '_ {
        self.each().filter(|(i, j, _)| i == j).filter_map(|(i, _, share)| Some((share, *self.rows.get(i)?, *self.columns.get(i)?)))
    }

    fn observed(&self) -> f64 {
        self.diagonal().map(|(share, _, _)| share).sum()
    }

    fn expected(&self) -> f64 {
        self.diagonal().map(|(_, a, b)| a * b).sum()
    }
}

/// Kappa of a square table of counts, rows by the first rater.
///
/// # Errors
/// If the table is not square, a count is impossible, or chance alone would agree always.
pub fn kappa(rows: &[Vec<f64>], weights: Weights, level: Level) -> Result<Kappa, Refusal> {
    let s = shares(rows)?;
    let observed: f64 = s.each().map(|(i, j, p)| s.weight(weights, i, j) * p).sum();
    let expected: f64 = s.each().map(|(i, j, _)| s.weight(weights, i, j) * s.chance(i, j)).sum();
    let beyond = beyond_chance(expected)?;
    // Mean weight of an answer against the margin of the other rater.
    let side: Vec<f64> = (0..rows.len()).map(|i| s.columns.iter().enumerate().map(|(j, p)| p * s.weight(weights, i, j)).sum()).collect();
    let top: Vec<f64> = (0..rows.len()).map(|j| s.rows.iter().enumerate().map(|(i, p)| p * s.weight(weights, i, j)).sum()).collect();
    let means = |i: usize, j: usize| side.get(i).zip(top.get(j)).map_or(0.0, |(a, b)| a + b);
    let spread: f64 = s.each().map(|(i, j, p)| p * (s.weight(weights, i, j) * beyond - means(i, j) * (1.0 - observed)).powi(2)).sum();
    let variance = (spread - (observed * expected - 2.0 * expected + observed).powi(2)) / (s.n * beyond.powi(4));
    let null: f64 = s.each().map(|(i, j, _)| s.chance(i, j) * (s.weight(weights, i, j) - means(i, j)).powi(2)).sum();
    let variance_null = (null - expected.powi(2)) / (s.n * beyond.powi(2));
    let (value, se, se_null) = ((observed - expected) / beyond, root_of(variance), root_of(variance_null));
    let z_null = Some(value / se_null).filter(|z| z.is_finite());
    Ok(Kappa {
        observed,
        expected,
        kappa: value,
        se,
        interval: Interval::around(value, level.z() * se),
        se_null,
        z_null,
        p_null: z_null.map(normal_two_sided),
    })
}

/// What a square table says besides kappa.
///
/// # Errors
/// As [`kappa`].
pub fn beside(rows: &[Vec<f64>], level: Level) -> Result<Beside, Refusal> {
    let s = shares(rows)?;
    let (observed, expected) = (s.observed(), s.expected());
    let beyond = beyond_chance(expected)?;
    let scale = s.k / (s.k - 1.0);
    let value = (s.k * observed - 1.0) / (s.k - 1.0);
    let se = scale * (observed * (1.0 - observed) / s.n).max(0.0).sqrt();
    Ok(Beside {
        n: s.n,
        categories: s.k,
        se_cohen: (observed * (1.0 - observed) / s.n).max(0.0).sqrt() / beyond,
        adjusted: Estimate { value, interval: Interval::around(value, level.z() * se) },
        adjusted_se: se,
        most: (s.diagonal().map(|(_, a, b)| a.min(b)).sum::<f64>() - expected) / beyond,
        two: two(rows, level),
    })
}

fn two(rows: &[Vec<f64>], level: Level) -> Option<Two> {
    let [first, second] = rows else { return None };
    let ([a, b], [c, d]) = (first.as_slice(), second.as_slice()) else { return None };
    let people = a + b + c + d;
    let on = |both: f64| Some(2.0 * both / (2.0 * both + b + c)).filter(|x| x.is_finite());
    Some(Two {
        prevalence_index: (a - d) / people,
        bias_index: (b - c) / people,
        positive: on(*a),
        negative: on(*d),
        adjusted_wilson: wilson_of(a + d, people, level).map(|x| 2.0 * x - 1.0),
    })
}

fn beyond_chance(expected: f64) -> Result<f64, Refusal> {
    let beyond = 1.0 - expected;
    // What is left is the rounding of the sums.
    if beyond > 1e-13 { Ok(beyond) } else { Err(Refusal::Undefined { what: "table", because: "all ratings are the same one answer" }) }
}

/// Rounding leaves a last digit below 0 where there is no spread.
fn root_of(variance: f64) -> f64 {
    if variance > 1e-17 { variance.sqrt() } else { 0.0 }
}

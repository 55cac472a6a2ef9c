//! Several raters, each subject rated by as many: Fleiss' kappa.
//!
//! Standard error under no agreement: Fleiss JL, Nee JCM, Landis JR, Psychol Bull 1979;86:974-977. For an
//! interval: Gwet KL, Br J Math Stat Psychol 2008;61:29-48 (from memory; held against
//! `tests/reference/evidence`).

use super::table;
use crate::compute::evidence::dist::normal_two_sided;
use crate::compute::evidence::refusal::count;
use crate::compute::evidence::{Interval, Level, Refusal};

/// Fleiss' kappa.
#[derive(Clone, Debug, PartialEq)]
pub struct Fleiss {
    /// Subjects.
    pub subjects: f64,
    /// Raters of each.
    pub raters: f64,
    /// Answers possible.
    pub categories: f64,
    /// Share of agreeing pairs of raters.
    pub observed: f64,
    /// The same by chance.
    pub expected: f64,
    /// Kappa.
    pub kappa: f64,
    /// Standard error if there were no agreement beyond chance: for the test.
    pub se_null: f64,
    /// Kappa over it.
    pub z: f64,
    /// Its two-sided p.
    pub p: f64,
    /// Interval with that standard error: common in software, and not a proper one unless kappa is 0.
    pub null_interval: Interval,
    /// Standard error with subjects as the sample; `None` of one subject.
    pub se: Option<f64>,
    /// Its interval by t with N - 1, cut at 1.
    pub interval: Option<Interval>,
    /// Kappa of each answer against the others; `None` for one that nobody gave.
    pub category: Vec<Option<f64>>,
    /// Standard error of each of them if there were no agreement beyond chance.
    pub category_se_null: f64,
}

/// Fleiss' kappa of counts: a row for each subject, a column for each answer, in it how many raters gave it.
///
/// # Errors
/// If rows do not add up to the same number of at least two raters, or all answers are one.
pub fn fleiss(rows: &[Vec<f64>], level: Level) -> Result<Fleiss, Refusal> {
    const WHAT: &str = "counts";
    let (n, categories) = table(WHAT, rows, 1, 2)?;
    let raters = raters(rows)?;
    let pairs = raters * (raters - 1.0);
    let column = |j: usize| rows.iter().filter_map(move |r| r.get(j).copied());
    let shares: Vec<f64> = (0..rows.first().map_or(0, Vec::len)).map(|j| column(j).sum::<f64>() / (n * raters)).collect();
    let agreeing = |row: &[f64]| row.iter().map(|c| c * (c - 1.0)).sum::<f64>() / pairs;
    let observed = rows.iter().map(|r| agreeing(r)).sum::<f64>() / n;
    let expected: f64 = shares.iter().map(|p| p * p).sum();
    let beyond: f64 = shares.iter().map(|p| p * (1.0 - p)).sum();
    if beyond <= 0.0 {
        return Err(Refusal::Undefined { what: WHAT, because: "all ratings are the same one answer" });
    }
    let kappa = (observed - expected) / beyond;
    let skew: f64 = shares.iter().map(|p| p * (1.0 - p) * (1.0 - 2.0 * p)).sum();
    let se_null = (2.0 / (n * pairs)).sqrt() * (beyond * beyond - skew).max(0.0).sqrt() / beyond;
    let category = shares.iter().enumerate().map(|(j, p)| {
        let apart: f64 = column(j).map(|c| c * (raters - c)).sum();
        Some(1.0 - apart / (n * pairs * p * (1.0 - p))).filter(|k| k.is_finite())
    });
    let by_subject = |row: &Vec<f64>| {
        let chance: f64 = row.iter().zip(&shares).map(|(c, p)| p * c / raters).sum();
        (agreeing(row) - expected) / beyond - 2.0 * (1.0 - kappa) * (chance - expected) / beyond
    };
    let spread: f64 = rows.iter().map(|r| (by_subject(r) - kappa).powi(2)).sum();
    let se = (n > 1.0).then(|| (spread / (n * (n - 1.0))).sqrt());
    let around = |se: f64| Interval::around(kappa, level.t(n - 1.0) * se);
    Ok(Fleiss {
        subjects: n,
        raters,
        categories,
        observed,
        expected,
        kappa,
        se_null,
        z: kappa / se_null,
        p: normal_two_sided(kappa / se_null),
        null_interval: Interval::around(kappa, level.z() * se_null),
        se,
        interval: se.map(around).map(|i| Interval { high: i.high.min(1.0), ..i }),
        category: category.collect(),
        category_se_null: (2.0 / (n * pairs)).sqrt(),
    })
}

fn raters(rows: &[Vec<f64>]) -> Result<f64, Refusal> {
    let sum = |row: &Vec<f64>| row.iter().sum::<f64>();
    for cell in rows.iter().flatten() {
        count("counts", *cell, 0.0)?;
    }
    let wanted = rows.first().map_or(0.0, sum);
    if wanted < 2.0 {
        return Err(Refusal::Undefined { what: "counts", because: "agreement needs at least two raters" });
    }
    let odd = rows.iter().map(sum).enumerate().find(|(_, found)| found.total_cmp(&wanted).is_ne());
    match odd {
        Some((row, found)) => Err(Refusal::RowSum { what: "counts", row, wanted, found }),
        None => Ok(wanted),
    }
}

//! Reading by hand: which rows are drawn, what the verdicts on them bound.
//!
//! The draw needs no generator of random numbers: rows are ordered by SHA-256 of seed, colon and row id, and the
//! first N are taken. It is the same on every machine, and a row that is added or removed moves no other.

use super::{Dossier, Row, RowKind};
use crate::compute::evidence::Level;
use crate::compute::evidence::dist::beta_quantile;
use crate::model::docs::{Audit, ReadRow, Verdict};
use sha2::{Digest, Sha256};

/// Rows that can be read against a source: claims and numbers that a citation of their own carries.
pub fn readable(dossier: &Dossier) -> impl Iterator<Item = &Row> {
    dossier.rows.iter().filter(|r| matches!(r.kind, RowKind::Claim | RowKind::Number) && !r.ground.cites.is_empty())
}

/// The first `n` rows in the order of the seed.
pub fn draw<'a>(dossier: &'a Dossier, seed: &str, n: usize) -> Vec<&'a Row> {
    let key = |row: &&Row| Sha256::digest(format!("{seed}:{}", row.id));
    let mut all: Vec<&Row> = readable(dossier).collect();
    all.sort_by_cached_key(key);
    all.truncate(n);
    all
}

/// The rate below which errors lie with 95 % confidence, when `errors` of `read` rows were wrong: the upper end
/// of the one-sided exact interval (Clopper CJ, Pearson ES, Biometrika 1934;26:404-413, from memory). Without an
/// error it is 1 - 0.05^(1/n): 59 rows bound 5 %, 29 bound 10 %. `None` if nothing was read.
pub fn bound(read: usize, errors: usize) -> Option<f64> {
    if read == 0 || errors > read {
        return None;
    }
    if errors == read {
        return Some(1.0);
    }
    #[allow(clippy::cast_precision_loss, reason = "counts of rows are small")]
    let (n, x) = (read as f64, errors as f64);
    Some(beta_quantile(Level::P95.value(), x + 1.0, n - x))
}

/// State of a row in a record.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Standing {
    /// It stands as it was read.
    Same,
    /// Value, sources or places in them have changed since.
    Changed,
    /// There is no such row any more.
    Gone,
}

/// Whether a recorded row still stands as it was read.
pub fn standing(dossier: &Dossier, read: &ReadRow) -> Standing {
    match dossier.row(read.id()) {
        None => Standing::Gone,
        Some(row) if row.mark == read.mark() => Standing::Same,
        Some(_) => Standing::Changed,
    }
}

/// What a recorded reading comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// Rows of the draw that were read and stand as they were read.
    pub read: usize,
    /// Of these, by verdict, in the order of the verdicts.
    pub by_verdict: [usize; Verdict::ALL.len()],
    /// Rows recorded outside the draw. They are shown and not counted: who picks rows bounds nothing.
    pub outside: usize,
    /// Rows gone or changed since.
    pub stale: usize,
    /// Rows of the draw without a verdict.
    pub open: usize,
    /// Upper bound of the rate of rows that are not fully supported; `None` while rows of the draw are open.
    pub bound: Option<f64>,
}

/// What a recorded reading comes to against the rows of today.
pub fn outcome(dossier: &Dossier, audit: &Audit) -> Option<Outcome> {
    let reading = audit.reading.as_ref()?;
    let n = usize::try_from(reading.n.value).unwrap_or(0);
    let drawn: Vec<&str> = draw(dossier, &reading.seed.value, n).iter().map(|r| r.id.as_str()).collect();
    let mut out = Outcome { read: 0, by_verdict: [0; Verdict::ALL.len()], outside: 0, stale: 0, open: 0, bound: None };
    let mut done = Vec::new();
    for row in &reading.rows {
        if standing(dossier, row) != Standing::Same {
            out.stale += 1;
        } else if !drawn.contains(&row.id()) || done.contains(&row.id()) {
            out.outside += 1;
        } else {
            done.push(row.id());
            out.read += 1;
            out.by_verdict[row.verdict.value as usize] += 1;
        }
    }
    out.open = drawn.len() - out.read;
    let wrong = out.read - out.by_verdict[Verdict::Supports as usize];
    out.bound = if out.open == 0 { bound(out.read, wrong) } else { None };
    Some(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_error_in_59_rows_bounds_5_percent_and_in_29_rows_10() {
        let near = |n: usize, x: usize, wanted: f64| {
            let found = bound(n, x).unwrap();
            assert!((found - wanted).abs() < 1e-9, "{n} {x}: {found}");
        };
        near(59, 0, 1.0 - 0.05_f64.powf(1.0 / 59.0));
        near(29, 0, 1.0 - 0.05_f64.powf(1.0 / 29.0));
        assert!(bound(59, 0).unwrap() < 0.05 && bound(58, 0).unwrap() > 0.05);
        assert!(bound(29, 0).unwrap() < 0.10 && bound(28, 0).unwrap() > 0.10);
        assert_eq!((bound(0, 0), bound(3, 3), bound(2, 3)), (None, Some(1.0), None));
    }

    /// By definition: at the upper end, seeing at most the errors that were seen has a probability of 5 %.
    #[test]
    fn with_errors_the_bound_is_the_exact_one() {
        let p = bound(20, 2).unwrap();
        let at_most = (1.0 - p).powi(20) + 20.0 * p * (1.0 - p).powi(19) + 190.0 * p.powi(2) * (1.0 - p).powi(18);
        assert!((at_most - 0.05).abs() < 1e-9, "{p} {at_most}");
    }

    #[test]
    fn a_draw_is_the_same_each_time_and_a_longer_one_begins_with_the_shorter() {
        let catalog = crate::compute::testing::base();
        let dossier = crate::compute::compute(&catalog, crate::compute::testing::TODAY).dossier;
        let ids = |seed: &str, n: usize| draw(&dossier, seed, n).iter().map(|r| r.id.clone()).collect::<Vec<_>>();
        assert!(ids("7", 6).len() == 6 && ids("7", 6)[..3] == ids("7", 3)[..]);
        assert_eq!(ids("7", 6), ids("7", 6));
        assert_ne!(ids("7", 6), ids("8", 6));
    }
}

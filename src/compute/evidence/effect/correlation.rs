//! A correlation, analysed as Fisher's z = atanh r with variance 1/(n-3).

use super::{Effect, Scale};
use crate::compute::evidence::Refusal;
use crate::compute::evidence::refusal::{count, inside};

/// Fisher's z of a correlation among `n` people.
///
/// # Errors
/// If `r` is not between -1 and 1, or `n` is below 4.
pub fn fisher_z(r: f64, n: f64) -> Result<Effect, Refusal> {
    let (r, n) = (inside("r", r, -1.0, 1.0)?, count("n", n, 4.0)?);
    Effect::computed(Scale::FisherZ, r.atanh(), 1.0 / (n - 3.0), "Fisher z, variance 1/(n-3)", "r")
}

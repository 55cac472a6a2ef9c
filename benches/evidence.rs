//! Cost of one question: 50 studies by restricted likelihood with all intervals, and the same without each
//! study in turn.
//!
//! `cargo bench --bench evidence` prints time and memory. It judges nothing.

use divan::{AllocProfiler, black_box};
use fascicle::compute::evidence::pool::leave_one_out;
use fascicle::compute::evidence::{Effect, IntervalMethod, Scale, TauMethod, pool};

#[global_allocator]
static ALLOCATOR: AllocProfiler = AllocProfiler::system();

fn main() {
    divan::main();
}

/// Fifty invented studies with variances from 0.01 to 0.5.
fn studies() -> Vec<Effect> {
    let one = |i: u32| {
        let turn = f64::from(i) * 2.399_963;
        let variance = 0.01 + 0.49 * (0.5 + 0.5 * turn.cos()).powi(3);
        Effect::new(Scale::LogRiskRatio, -0.3 + 0.4 * (1.7 * turn).sin(), variance, "invented")
    };
    (0..50).filter_map(|i| one(i).ok()).collect()
}

#[divan::bench]
fn pool_with_intervals() -> bool {
    pool(black_box(&studies()), TauMethod::Reml, IntervalMethod::KnappHartung).is_ok_and(|p| p.prediction.is_some())
}

#[divan::bench]
fn question_with_leave_one_out() -> usize {
    let studies = black_box(studies());
    let whole = pool(&studies, TauMethod::Reml, IntervalMethod::KnappHartung);
    let without = leave_one_out(&studies, TauMethod::Reml, IntervalMethod::KnappHartung);
    whole.map_or(0, |p| p.k) + without.map_or(0, |all| all.len())
}

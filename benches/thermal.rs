//! Cost of one heat scenario: 20 min of a clay pack through six damp towels, cooling down included, in
//! all three ways of blood flow, and of a whole verdict with its search for the safe time.
//!
//! `cargo bench --bench thermal` prints time and the most memory held at once. It judges nothing.

use divan::{AllocProfiler, black_box};
use fascicle::compute::thermal::run::{PRODUCTION, run};
use fascicle::compute::thermal::scenario::{MODES, Resting, Scenario, compute};
use fascicle::model::vocabulary::{Cover, ThermalSource};

#[global_allocator]
static ALLOCATOR: AllocProfiler = AllocProfiler::system();

fn main() {
    divan::main();
}

fn clay() -> Scenario {
    Scenario::Resting(Resting {
        source: ThermalSource::ClayPack,
        start: 72.0,
        cover: Cover::DampTowel,
        layers: 6,
        seconds: 1200.0,
        limb: false,
        under: false,
    })
}

#[divan::bench]
fn three_modes() -> usize {
    let scenario = black_box(clay());
    MODES.iter().filter_map(|mode| Some(run(&scenario.run(*mode)?, PRODUCTION).t.len())).sum()
}

#[divan::bench]
fn verdict_with_safe_time() -> bool {
    compute(black_box(&clay())).is_some()
}

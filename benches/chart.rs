//! What the geometry of a large house costs: the muscles of the demo pack again and again, up to five hundred.
//!
//! `cargo bench --bench chart`. It judges nothing: numbers depend on the machine.

#![allow(clippy::unwrap_used, reason = "a benchmark stops where it cannot go on")]

use divan::{Bencher, black_box};
use fascicle::build;
use fascicle::compute::chart;
use fascicle::model::docs::Muscle;
use rayon::prelude::*;
use std::path::PathBuf;

fn main() {
    divan::main();
}

/// Muscles of the demo pack, repeated.
fn muscles(count: usize) -> Vec<Muscle> {
    let demo = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("packs/millrace-course");
    let judged = build::judge(&[demo], jiff::civil::date(2026, 12, 1)).unwrap();
    let own = judged.catalog.unwrap().muscles;
    own.rows().iter().cycle().take(count).cloned().collect()
}

#[divan::bench(args = [8, 500])]
fn outlines_points_and_zones(bencher: Bencher, count: usize) {
    let muscles = muscles(count);
    bencher.bench_local(|| black_box(muscles.par_iter().map(chart::muscle).collect::<Vec<_>>()));
}

#[divan::bench(args = [8, 500])]
fn sweeps(bencher: Bencher, count: usize) {
    let demo = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("packs/millrace-course");
    let judged = build::judge(&[demo], jiff::civil::date(2026, 12, 1)).unwrap();
    let catalog = judged.catalog.unwrap();
    let swept = catalog
        .protocols
        .rows()
        .iter()
        .filter_map(|p| Some((&catalog.muscles[p.muscle.to?], p.steps.iter().find_map(|s| s.sweep.as_ref())?)));
    let swept: Vec<_> = swept.collect::<Vec<_>>().into_iter().cycle().take(count).collect();
    bencher.bench_local(|| {
        let facts = swept.par_iter().map(|(muscle, sweep)| {
            let points: Vec<_> = muscle.points.iter().collect();
            chart::sweep::facts(muscle, &points, sweep, chart::sweep::WIDTH)
        });
        black_box(facts.collect::<Vec<_>>())
    });
}

#[divan::bench]
fn reading_the_drawing(bencher: Bencher) {
    let source = include_str!("../src/chart/body.svg");
    bencher.bench_local(|| black_box(fascicle::chart::parse(source).unwrap()));
}

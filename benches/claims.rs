//! What it costs to hold ten thousand claims against their questions and results: all checks of the area
//! "evidence" over the base pack of the fixtures with its claim repeated.
//!
//! `cargo bench --bench claims`. It judges nothing: numbers depend on the machine.

#![allow(clippy::unwrap_used, reason = "a benchmark stops where it cannot go on")]

use divan::{Bencher, black_box};
use fascicle::build::{self, Judged};
use fascicle::checks::{Case, evidence, run_one};
use rayon::prelude::*;
use std::path::{Path, PathBuf};

const TODAY: jiff::civil::Date = jiff::civil::date(2026, 12, 1);
const START: &str = "rationale: [";

/// Claims in one protocol; a file holds at most a mebibyte.
const EACH: usize = 1_000;

fn main() {
    divan::main();
}

/// The base pack with so many claims in the rationale of copies of its protocol.
fn pack(into: &Path, count: usize) {
    let base = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/checks/base");
    for entry in walkdir::WalkDir::new(&base) {
        let entry = entry.unwrap();
        let to = into.join(entry.path().strip_prefix(&base).unwrap());
        if entry.file_type().is_dir() {
            std::fs::create_dir_all(to).unwrap();
        } else {
            std::fs::copy(entry.path(), to).unwrap();
        }
    }
    let file = into.join("protocols/soleus.yaml");
    let text = std::fs::read_to_string(&file).unwrap();
    let line = text.lines().find(|l| l.starts_with(START)).unwrap();
    let claim = line.strip_prefix(START).unwrap().strip_suffix(']').unwrap();
    let many = format!("  - {claim}\n").repeat(count.min(EACH));
    let text = text.replacen(line, &format!("rationale:\n{}", many.trim_end()), 1);
    for i in 0..count.div_ceil(EACH) {
        let id = if i == 0 { "soleus".to_string() } else { format!("soleus-{i}") };
        let own = text.replacen("id: soleus\n", &format!("id: {id}\n"), 1);
        std::fs::write(into.join(format!("protocols/{id}.yaml")), own).unwrap();
    }
}

fn judged(count: usize) -> Judged {
    let dir = tempfile::tempdir().unwrap();
    pack(dir.path(), count);
    build::judge(&[dir.path().to_path_buf()], TODAY).unwrap()
}

#[divan::bench(args = [100, 10_000], sample_count = 10)]
fn claims(bencher: Bencher, count: usize) {
    let judged = judged(count);
    let catalog = judged.catalog.as_ref().unwrap();
    let case = Case { catalog, facts: &judged.facts, today: TODAY };
    assert_eq!(catalog.protocols.rows().iter().map(|p| p.rationale.len()).sum::<usize>(), count);
    bencher.bench_local(|| black_box(evidence::CHECKS.par_iter().map(|check| run_one(check, &case).len()).sum::<usize>()));
}

//! How long a build takes and how much memory it needs, by number of protocol documents.
//!
//! `cargo bench` makes a corpus from the demo pack (each protocol many times under new ids), runs the
//! stages and prints milliseconds and peak memory. It judges nothing: numbers depend on the machine.

#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::cast_precision_loss,
    reason = "a benchmark stops where it cannot go on, and prints"
)]

use fascicle::build;
use std::path::{Path, PathBuf};
use std::time::Instant;

fn main() {
    let sizes: Vec<usize> = std::env::args().skip(1).filter_map(|a| a.parse().ok()).collect();
    let sizes = if sizes.is_empty() { vec![100, 1000] } else { sizes };
    println!(
        "{:>6} {:>8} {:>9} {:>9} {:>9} {:>9} {:>12}",
        "docs", "KB/doc", "judge ms", "build ms", "write ms", "again ms", "peak KiB/doc"
    );
    for n in sizes {
        row(n);
    }
}

fn row(n: usize) {
    let dir = tempfile::tempdir().unwrap();
    let bytes = corpus(&dir.path().join("pack"), n);
    let (pack, into) = ([dir.path().join("pack")], dir.path().join("site"));
    let today = jiff::civil::date(2026, 12, 1);
    let before = peak_kib();
    let (mut judged, judge) = timed(|| build::judge(&pack, today).unwrap());
    let (site, made) = timed(|| build::build(&mut judged, &into, None, today).unwrap());
    let (_, write) = timed(|| site.write(&into).unwrap());
    let ((), again) = timed(|| {
        let mut judged = build::judge(&pack, today).unwrap();
        let site = build::build(&mut judged, &into, None, today).unwrap();
        assert_eq!(site.write(&into).unwrap().changed, 0);
    });
    let memory = peak_kib().saturating_sub(before) / n as u64;
    println!("{n:>6} {:>8.1} {judge:>9.0} {made:>9.0} {write:>9.0} {again:>9.0} {memory:>12}", bytes as f64 / n as f64 / 1024.0);
}

fn timed<T>(work: impl FnOnce() -> T) -> (T, f64) {
    let start = Instant::now();
    let value = work();
    (value, start.elapsed().as_secs_f64() * 1000.0)
}

/// Copies the demo pack with `n` protocols instead of its own; returns their size in bytes.
fn corpus(into: &Path, n: usize) -> u64 {
    let demo = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("packs/millrace-course");
    let mut protocols = Vec::new();
    for entry in walkdir::WalkDir::new(&demo).sort_by_file_name() {
        let entry = entry.unwrap();
        let inner = entry.path().strip_prefix(&demo).unwrap();
        if entry.file_type().is_dir() {
            std::fs::create_dir_all(into.join(inner)).unwrap();
        } else if inner.starts_with("protocols") {
            protocols
                .push((entry.path().file_stem().unwrap().to_string_lossy().into_owned(), std::fs::read_to_string(entry.path()).unwrap()));
        } else {
            std::fs::copy(entry.path(), into.join(inner)).unwrap();
        }
    }
    let mut bytes = 0;
    for i in 0..n.max(protocols.len()) {
        let (stem, text) = &protocols[i % protocols.len()];
        let id = if i < protocols.len() { stem.clone() } else { format!("{stem}-{i}") };
        let text = text.replacen(&format!("id: {stem}"), &format!("id: {id}"), 1);
        bytes += text.len() as u64;
        std::fs::write(into.join("protocols").join(format!("{id}.yaml")), text).unwrap();
    }
    bytes
}

/// Highest memory of this process so far, where the system tells.
fn peak_kib() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|l| l.starts_with("VmHWM")).unwrap_or_default();
    line.split_whitespace().nth(1).and_then(|n| n.parse().ok()).unwrap_or(0)
}

//! Keeps computed exposures between runs of the program, in one file of the user's cache folder.
//!
//! The file may be deleted at any time. It is used only if it was written by the same version of the
//! model, and an entry only if its digest fits its content; whatever else is found there counts as
//! nothing. Results are the same with and without it. `FASCICLE_CACHE` names another folder, or turns
//! it off if it is empty. The library never reads it by itself.

use crate::compute::thermal::memo::{self, Known};
use crate::compute::thermal::scenario::Outcome;
use crate::write::hex;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Version of the model: a fingerprint of everything that decides what comes out.
const MODEL: &str = env!("FASCICLE_FINGERPRINT");
const FILE: &str = "exposures.json";
/// More entries than any house has: beyond it only what the present run asked for is kept.
const MOST: usize = 4096;

#[derive(Serialize, Deserialize)]
struct Kept {
    model: String,
    entries: Vec<Entry>,
}

#[derive(Serialize, Deserialize)]
struct Entry {
    scenario: String,
    digest: String,
    result: [Outcome; 3],
}

/// The folder; `None` if there is none or it is turned off.
pub fn folder() -> Option<PathBuf> {
    match std::env::var_os("FASCICLE_CACHE") {
        Some(named) if named.is_empty() => None,
        Some(named) => Some(PathBuf::from(named)),
        None => dirs::cache_dir().map(|d| d.join("fascicle")),
    }
}

/// Reads what was kept; returns how many results were taken over.
pub fn read(folder: &Path) -> usize {
    let Ok(text) = std::fs::read_to_string(folder.join(FILE)) else { return 0 };
    let known = parse(&text);
    let count = known.len();
    memo::put_in(known);
    count
}

fn parse(text: &str) -> Known {
    let Ok(kept) = serde_json::from_str::<Kept>(text) else { return Known::new() };
    if kept.model != MODEL {
        return Known::new();
    }
    let sound = |e: &Entry| digest(&e.scenario, &e.result).is_some_and(|d| d == e.digest);
    kept.entries.into_iter().filter(sound).map(|e| (e.scenario, Arc::new(e.result))).collect()
}

/// Writes everything known if there is more than the `before` results that were read. A folder that
/// cannot be written is left alone: nothing depends on it.
pub fn write(folder: &Path, before: usize) {
    let mut known = memo::take_out();
    if known.len() == before {
        return;
    }
    if known.len() > MOST {
        let asked = memo::asked();
        known.retain(|key, _| asked.contains(key));
    }
    let text = print(&known);
    let fresh = folder.join(format!("{FILE}.{}", std::process::id()));
    let done = std::fs::create_dir_all(folder)
        .and_then(|()| std::fs::write(&fresh, text))
        .and_then(|()| std::fs::rename(&fresh, folder.join(FILE)));
    if done.is_err() {
        let _ = std::fs::remove_file(&fresh);
    }
}

fn print(known: &Known) -> String {
    let entry = |(scenario, result): (&String, &Arc<[Outcome; 3]>)| {
        let digest = digest(scenario, result)?;
        Some(Entry { scenario: scenario.clone(), digest, result: (**result).clone() })
    };
    let kept = Kept { model: MODEL.into(), entries: known.iter().filter_map(entry).collect() };
    serde_json::to_string(&kept).unwrap_or_default()
}

/// SHA-256 over model, scenario and result; `None` if the result cannot be written.
fn digest(scenario: &str, result: &[Outcome; 3]) -> Option<String> {
    let mut hasher = Sha256::new();
    for part in [MODEL.as_bytes(), b"\n", scenario.as_bytes(), b"\n", &serde_json::to_vec(result).ok()?] {
        hasher.update(part);
    }
    Some(hex(&hasher.finalize()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compute::thermal::scenario::{Moving, Scenario, compute};
    use crate::model::vocabulary::ThermalSource;

    fn known() -> Known {
        let scenario = Scenario::Moving(Moving { source: ThermalSource::MovingIce, dwell: 0.2, passes: 2, gap: 2.0, limb: true });
        Known::from([(memo::key(&scenario), Arc::new(compute(&scenario).unwrap().modes))])
    }

    #[test]
    fn what_is_written_is_read_to_the_last_digit() {
        let known = known();
        assert_eq!(parse(&print(&known)), known);
    }

    #[test]
    fn what_was_changed_or_comes_from_another_model_counts_as_nothing() {
        let text = print(&known());
        let warmer = text.replacen("\"skin_min\":", "\"skin_min\":1", 1);
        assert_ne!(warmer, text);
        for other in [warmer, text.replace(MODEL, "another"), text[..text.len() / 2].to_string(), String::new(), "[]".into()] {
            assert!(parse(&other).is_empty());
        }
    }
}

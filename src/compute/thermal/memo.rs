//! Each scenario is computed once in a process. The key is the whole scenario, so that a hit can only
//! be the same result.
//!
//! What an earlier process computed can be put in and taken out (`put_in`, `take_out`); where it is kept
//! and how it is checked is not decided here.

use super::scenario::{Exposure, Outcome, Scenario, compute};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, LazyLock, Mutex, MutexGuard, PoisonError};

/// Results by the key of their scenario.
pub type Known = BTreeMap<String, Arc<[Outcome; 3]>>;

static KNOWN: LazyLock<Mutex<Known>> = LazyLock::new(Mutex::default);
static ASKED: LazyLock<Mutex<BTreeSet<String>>> = LazyLock::new(Mutex::default);

fn known() -> MutexGuard<'static, Known> {
    KNOWN.lock().unwrap_or_else(PoisonError::into_inner)
}

/// The exposure of a scenario, from memory if it was computed before.
pub fn exposure(scenario: &Scenario) -> Option<Arc<Exposure>> {
    let key = key(scenario);
    ASKED.lock().unwrap_or_else(PoisonError::into_inner).insert(key.clone());
    let found = known().get(&key).cloned();
    let modes = if let Some(modes) = found {
        modes
    } else {
        let made = Arc::new(compute(scenario)?.modes);
        known().insert(key, Arc::clone(&made));
        made
    };
    Some(Arc::new(Exposure { scenario: *scenario, modes: (*modes).clone() }))
}

/// All inputs of a scenario, each number to its last digit.
pub fn key(scenario: &Scenario) -> String {
    format!("{scenario:?}")
}

/// Adds results of an earlier process, computed by the same version of the model.
pub fn put_in(earlier: Known) {
    known().extend(earlier);
}

/// Keys of everything that this process asked for.
pub fn asked() -> BTreeSet<String> {
    ASKED.lock().unwrap_or_else(PoisonError::into_inner).clone()
}

/// Everything known so far.
pub fn take_out() -> Known {
    known().clone()
}

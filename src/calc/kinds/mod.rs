//! The kinds of calculation, one file for each family, and the table of them.
//!
//! A kind reads its inputs and calls a function of `compute`; it does no arithmetic of its own.

mod accuracy;
mod agreement;
mod body;
mod damage;
mod effects;
mod elementary;
mod evidence;
mod mechanics;
mod pooling;
mod runs;
mod scenario;
mod units;

use super::inputs::Inputs;
use super::outcome::Outcome;

/// A kind of calculation.
pub struct Kind {
    /// Its word in a worksheet.
    pub name: &'static str,
    /// What it gives, in a line.
    pub summary: &'static str,
    /// Keys that may stand under `inputs`, in exact form.
    pub keys: &'static [&'static str],
    /// Reads the inputs and calculates; `None` after it has reported why not.
    pub run: fn(&Inputs<'_>) -> Option<Outcome>,
}

static FAMILIES: &[&[Kind]] = &[
    units::KINDS,
    damage::KINDS,
    scenario::KINDS,
    mechanics::KINDS,
    runs::KINDS,
    elementary::KINDS,
    effects::KINDS,
    pooling::KINDS,
    agreement::KINDS,
    accuracy::KINDS,
];

/// All kinds, by family.
pub fn all() -> impl Iterator<Item = &'static Kind> {
    FAMILIES.iter().copied().flatten()
}

/// The kind with this name.
pub fn named(name: &str) -> Option<&'static Kind> {
    all().find(|k| k.name == name)
}

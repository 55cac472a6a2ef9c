//! Coordinates outside the view that they are written for.

use crate::checks::{Check, Run};
use crate::finding::Level;

/// The check.
pub static CHECK: Check = Check {
    name: "coordinates-off-chart",
    summary: "coordinates lie outside their view of the body chart",
    level: Level::Error,
    run: Run::WhileLoading,
    page: include_str!("coordinates_off_chart.md"),
};

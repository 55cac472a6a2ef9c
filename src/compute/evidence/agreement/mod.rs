//! Agreement of raters and error of measurement.

pub mod error;
pub mod fleiss;
pub mod intraclass;
pub mod kappa;
pub mod limits;

use super::refusal::finite;
use super::{Refusal, len};

/// A table of numbers with rows of one length.
fn table(what: &'static str, rows: &[Vec<f64>], least_rows: usize, least_columns: usize) -> Result<(f64, f64), Refusal> {
    if rows.len() < least_rows {
        return Err(Refusal::TooFew { what, least: least_rows, found: rows.len() });
    }
    let wanted = rows.first().map_or(0, Vec::len);
    if wanted < least_columns {
        return Err(Refusal::Uneven { what, row: 0, wanted: least_columns, found: wanted });
    }
    for (row, entries) in rows.iter().enumerate() {
        if entries.len() != wanted {
            return Err(Refusal::Uneven { what, row, wanted, found: entries.len() });
        }
        for entry in entries {
            finite(what, *entry)?;
        }
    }
    Ok((len(rows.len()), len(wanted)))
}

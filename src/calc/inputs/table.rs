//! Tables: lists of lists of numbers, with rows of one length.

use super::Inputs;
use crate::calc::rule::rule;
use crate::source::{Node, NodeKind};

/// What the cells of a table may be.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Cells {
    /// Any number.
    Numbers,
    /// Whole numbers, 0 or more.
    Counts,
}

impl Inputs<'_> {
    /// A table with at least so many rows and columns.
    pub fn table(&self, key: &'static str, cells: Cells, least_rows: usize, least_columns: usize) -> Option<Vec<Vec<f64>>> {
        const MOST: usize = 5000;
        let (name, node, _) = self.need(key)?;
        let rows = self.list(name, node, least_rows, MOST)?;
        let mut wanted = None;
        let read = |row: &Node| {
            let NodeKind::Seq(entries) = &row.kind else { return self.wrong_kind(name, row, "a list in a list") };
            let n = *wanted.get_or_insert(entries.len().max(least_columns));
            if entries.len() != n {
                let message = format!("this row of `{key}` has {} entries; {n} are wanted", entries.len());
                self.page.report(
                    "schema-shape",
                    row.span,
                    format!("{} here", entries.len()),
                    message,
                    "give every row the same number of entries",
                );
                return None;
            }
            let values: Vec<Option<f64>> = entries.iter().map(|cell| self.cell(key, cell, cells)).collect();
            values.into_iter().collect()
        };
        let rows: Vec<Option<Vec<f64>>> = rows.iter().map(read).collect();
        rows.into_iter().collect()
    }

    fn cell(&self, key: &'static str, node: &Node, cells: Cells) -> Option<f64> {
        let (name, _, _) = self.find(key)?;
        let value = self.value(name, node, rule(key), true)?;
        if cells == Cells::Counts && (value < 0.0 || value.fract() != 0.0) {
            let message = format!("`{key}` counts, and {value} is no number of people or answers");
            self.page.report("number-out-of-bounds", node.span, "not possible", message, "write a whole number, 0 or more");
            return None;
        }
        Some(value)
    }
}

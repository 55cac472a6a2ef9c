//! What checks find in one page that they all read once.

use super::css::Rule;
use super::tree::Tree;
use super::{heading_order, keyboard_trap, personal_data_kept, target_too_small, text_alternative_missing};

/// Faults of a page in words, by check.
#[derive(Debug, Default)]
pub(super) struct Looked {
    /// Headings.
    pub headings: Vec<String>,
    /// Pictures without words.
    pub pictures: Vec<String>,
    /// Controls that the keyboard does not reach, or cannot leave.
    pub traps: Vec<String>,
    /// Inputs whose content is kept.
    pub kept: Vec<String>,
    /// Controls that are too low.
    pub targets: Vec<String>,
}

/// Reads a page with the rules of its style sheets.
pub(super) fn look(path: &str, html: &str, rules: &[&Rule]) -> Looked {
    let tree = Tree::read(html);
    Looked {
        headings: heading_order::faults(&tree),
        pictures: text_alternative_missing::faults(&tree),
        traps: keyboard_trap::faults(&tree),
        kept: personal_data_kept::faults(&tree),
        targets: target_too_small::faults(path, &tree, rules),
    }
}

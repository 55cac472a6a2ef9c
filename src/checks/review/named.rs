//! Lists of documents in messages of this area.

use crate::model::DocName;

/// Most documents that a message names.
const MOST: usize = 12;

/// Names with commas; how many more there are.
pub(super) fn list<'a>(names: impl Iterator<Item = &'a DocName>) -> String {
    let all: Vec<String> = names.map(ToString::to_string).collect();
    let more = all.len().saturating_sub(MOST);
    let shown = all.iter().take(MOST).cloned().collect::<Vec<_>>().join(", ");
    if more == 0 { shown } else { format!("{shown} and {more} more") }
}

/// A count of documents.
pub(super) fn documents(n: usize) -> String {
    format!("{n} document{}", if n == 1 { "" } else { "s" })
}

//! Records of readers.

use super::Reader;
use crate::model::docs::{Audit, Head, ItemRating, ReadRow, Reading, Verdict};
use crate::source::Node;

pub(super) fn audit(r: &mut Reader<'_>, n: &Node, head: Head) -> Audit {
    Audit {
        role: r.text(n, "role"),
        date: r.date(n, "date"),
        interests: r.text(n, "interests"),
        reading: n.get("reading").and_then(|x| reading(r, x)),
        ratings: r.items(n, "ratings").iter().filter_map(|x| rating(r, x)).collect(),
        note: r.maybe(n, "note"),
        head,
    }
}

fn reading(r: &Reader<'_>, n: &Node) -> Option<Reading> {
    let row = |x: &Node| {
        let verdict = r.word(x, "verdict", Verdict::from_word)?;
        Some(ReadRow { row: r.text(x, "row"), verdict, note: r.maybe(x, "note") })
    };
    Some(Reading { seed: r.text(n, "seed"), n: r.whole(n, "n")?, rows: r.items(n, "rows").iter().filter_map(row).collect() })
}

fn rating(r: &Reader<'_>, n: &Node) -> Option<ItemRating> {
    Some(ItemRating { item: r.whole(n, "item")?, score: r.whole(n, "score")?, why: r.maybe(n, "why") })
}

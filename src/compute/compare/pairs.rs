//! Which item of an old list is which item of a new one, so that an inserted item is one line and not a shift of all.

use serde_json::Value;
use std::collections::BTreeMap;

/// An item on both sides, or on one alone, by place in its list.
pub(super) type Pair = (Option<usize>, Option<usize>);

/// Pairs the items that are most alike first, down to `least`; of equals the nearest. Pairs and new items stand in the
/// order of the new list, items that are gone at the end. Swapping the lists swaps the pairs.
pub(super) fn pair_up<T>(old: &[T], new: &[T], least: f64, likeness: impl Fn(&T, &T) -> f64) -> Vec<Pair> {
    let mut options: Vec<(f64, usize, usize)> = Vec::new();
    for (i, a) in old.iter().enumerate() {
        for (j, b) in new.iter().enumerate() {
            let alike = likeness(a, b);
            if alike >= least {
                options.push((alike, i, j));
            }
        }
    }
    options.sort_by(|(a, i, j), (b, k, l)| b.total_cmp(a).then((i.abs_diff(*j), i + j).cmp(&(k.abs_diff(*l), k + l))));
    let mut of_old: BTreeMap<usize, usize> = BTreeMap::new();
    let mut of_new: BTreeMap<usize, usize> = BTreeMap::new();
    for (_, i, j) in options {
        if !of_old.contains_key(&i) && !of_new.contains_key(&j) {
            of_old.insert(i, j);
            of_new.insert(j, i);
        }
    }
    let there = (0..new.len()).map(|j| (of_new.get(&j).copied(), Some(j)));
    let gone = (0..old.len()).filter(|i| !of_old.contains_key(i)).map(|i| (Some(i), None));
    there.chain(gone).collect()
}

/// True if the pairs stand in another order than before.
pub(super) fn reordered(pairs: &[Pair]) -> bool {
    !pairs.iter().filter(|(_, new)| new.is_some()).filter_map(|(old, _)| *old).is_sorted()
}

/// How alike two values are, from 0 to 1: the share of their words that stand in the same place of both (Sørensen-Dice,
/// T. Sørensen, Biologiske Skrifter 1948;5(4):1-34; from memory). Lists have no places.
pub fn likeness(old: &Value, new: &Value) -> f64 {
    let (mut a, mut b) = (BTreeMap::new(), BTreeMap::new());
    words(old, "", &mut a);
    words(new, "", &mut b);
    let (n, m): (usize, usize) = (a.values().sum(), b.values().sum());
    let both: usize = a.iter().map(|(word, n)| n.min(b.get(word).unwrap_or(&0))).sum();
    if n + m == 0 { 1.0 } else { ratio(2 * both, n + m) }
}

#[expect(clippy::cast_precision_loss, reason = "counts of words are far below 2^52")]
fn ratio(part: usize, whole: usize) -> f64 {
    part as f64 / whole as f64
}

fn words(value: &Value, at: &str, out: &mut BTreeMap<String, usize>) {
    match value {
        Value::Object(map) => map.iter().for_each(|(k, v)| words(v, &format!("{at}/{k}"), out)),
        Value::Array(items) => items.iter().for_each(|v| words(v, at, out)),
        Value::String(text) => text.split(' ').for_each(|w| *out.entry(format!("{at}/{w}")).or_default() += 1),
        other => *out.entry(format!("{at}/{other}")).or_default() += 1,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn an_inserted_item_shifts_nothing() {
        let same = |a: &&str, b: &&str| f64::from(u8::from(a == b));
        assert_eq!(pair_up(&["a", "b"], &["x", "a", "b"], 0.5, same), [(None, Some(0)), (Some(0), Some(1)), (Some(1), Some(2))]);
        assert_eq!(pair_up(&["a", "b"], &["b"], 0.5, same), [(Some(1), Some(0)), (Some(0), None)]);
        assert!(!reordered(&pair_up(&["a", "b"], &["x", "a", "b"], 0.5, same)));
        assert!(reordered(&pair_up(&["a", "b"], &["b", "a"], 0.5, same)));
    }

    proptest! {
        #[test]
        fn swapping_lists_swaps_pairs(old in prop::collection::vec(0u8..5, 0..7), new in prop::collection::vec(0u8..5, 0..7)) {
            let alike = |a: &u8, b: &u8| 1.0 - f64::from(a.abs_diff(*b)) / 5.0;
            let mut there = pair_up(&old, &new, 0.5, alike);
            let mut back: Vec<Pair> = pair_up(&new, &old, 0.5, alike).into_iter().map(|(a, b)| (b, a)).collect();
            there.sort_unstable();
            back.sort_unstable();
            prop_assert_eq!(there, back);
        }
    }
}

//! Names of outcomes in a sentence, word by word.

use crate::checks::text::{Word, words};
use crate::model::docs::Outcome;
use std::ops::Range;

/// The name and the other names of an outcome.
pub(super) fn names(outcome: &Outcome) -> impl Iterator<Item = &str> + Clone {
    std::iter::once(&outcome.name).chain(&outcome.other_names).map(|n| &*n.value)
}

/// Number of words of a name with which some words begin; `None` if they do not.
pub(super) fn begins(all: &[Word<'_>], name: &str) -> Option<usize> {
    let wanted = words(name);
    let same = wanted.iter().zip(all).all(|(w, a)| w.letters().eq(a.letters()));
    (!wanted.is_empty() && wanted.len() <= all.len() && same).then_some(wanted.len())
}

/// Rows of the words in which one of some names stands first; of two that start together the longer one.
pub(super) fn first<'a>(all: &[Word<'_>], names: &(impl Iterator<Item = &'a str> + Clone)) -> Option<Range<usize>> {
    let at = |i: usize| names.clone().filter_map(|n| begins(all.get(i..)?, n)).max();
    (0..all.len()).find_map(|i| at(i).map(|n| i..i + n))
}

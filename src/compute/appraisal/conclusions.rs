//! Whether what authors conclude is shown by the results of the same source.

use super::claims::of_result;
use crate::model::Catalog;
use crate::model::docs::{Conclusion, Source, StudyResult};
use crate::model::evidence::Direction;

/// A conclusion that no result shows.
#[derive(Debug)]
pub struct Beyond<'a> {
    /// The results that could have shown it, with what they come to.
    pub results: Vec<(&'a StudyResult, Direction)>,
    /// The arms that the results show to be better, each once.
    pub better: Vec<&'a str>,
}

/// What a result comes to: by its numbers, else by the word in the source.
fn came_to(catalog: &Catalog, result: &StudyResult) -> Option<Direction> {
    of_result(catalog, result).or(result.found.as_ref().map(|f| f.value))
}

/// The results beside a conclusion that goes beyond them; `None` if one shows it or none can be read.
pub fn beyond<'a>(catalog: &Catalog, source: &'a Source, conclusion: &Conclusion) -> Option<Beyond<'a>> {
    let about = conclusion.outcome.as_ref().and_then(|o| o.to);
    let fits = |r: &&StudyResult| about.is_none_or(|o| r.outcome.to == Some(o));
    let results: Vec<_> = source.results.iter().filter(fits).filter_map(|r| Some((r, came_to(catalog, r)?))).collect();
    if results.is_empty() {
        return None;
    }
    let mut better: Vec<&str> = results.iter().filter_map(|(r, d)| winner(r, *d)).collect();
    better.sort_unstable();
    better.dedup();
    let arm = conclusion.arm.as_ref().map(|a| &*a.value);
    let shown = match (arm, conclusion.found.as_ref().map(|f| f.value)) {
        (Some(arm), Some(Direction::Better) | None) => better.contains(&arm),
        (Some(arm), Some(found)) => results.iter().any(|(r, d)| seen_from(r, arm, *d).is_some_and(|d| same(d, found))),
        (None, Some(found)) => results.iter().any(|(_, d)| same(*d, found)),
        (None, None) => true,
    };
    (!shown).then_some(Beyond { results, better })
}

/// Authors who saw no difference and authors who could not tell say the same of an interval that holds no
/// effect.
fn same(a: Direction, b: Direction) -> bool {
    let undecided = |d| matches!(d, Direction::NoDifference | Direction::Unclear);
    a == b || (undecided(a) && undecided(b))
}

/// The arm that a result shows to be better.
fn winner(result: &StudyResult, direction: Direction) -> Option<&str> {
    match (&*result.arms, direction) {
        ([treated, ..], Direction::Better) => Some(&treated.value),
        ([_, comparator, ..], Direction::Worse) => Some(&comparator.value),
        _ => None,
    }
}

/// What a result comes to for one of its arms.
fn seen_from(result: &StudyResult, arm: &str, direction: Direction) -> Option<Direction> {
    let at = result.arms.iter().position(|a| &*a.value == arm)?;
    Some(match (at, direction) {
        (0, d) => d,
        (_, Direction::Better) => Direction::Worse,
        (_, Direction::Worse) => Direction::Better,
        (_, d) => d,
    })
}

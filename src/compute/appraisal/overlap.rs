//! People who stand twice in one pool: through one result, one arm, one study in two reports, or a review
//! beside its own trials.

use super::{Answer, OutcomeFacts, StudyFacts};
use crate::model::docs::{Source, StudyResult};
use crate::model::{Catalog, Idx};
use crate::source::Text;

/// How two results share people.
#[derive(Clone, Debug)]
pub enum Shared<'a> {
    /// The same result.
    Result,
    /// The same arm.
    Arm(&'a Text),
    /// Results of one source that name no arms.
    Source,
    /// Two reports of one study.
    Study(Idx<Source>),
    /// The first is a review that includes the second.
    Review,
}

/// Pairs of results in a pool that share people, by their rows in `facts.studies`.
pub fn shared<'a>(catalog: &'a Catalog, facts: &OutcomeFacts) -> Vec<(usize, usize, Shared<'a>)> {
    // What is not pooled may stand side by side.
    if !matches!(facts.answer, Answer::Pooled(_) | Answer::Refused(_)) {
        return Vec::new();
    }
    let pooled: Vec<(usize, &StudyFacts)> = facts.studies.iter().enumerate().filter(|(_, s)| s.effect.is_ok()).collect();
    let mut out = Vec::new();
    for (at, (i, a)) in pooled.iter().enumerate() {
        for (j, b) in pooled.iter().skip(at + 1) {
            if includes(catalog, b.source, a.source) {
                out.push((*j, *i, Shared::Review));
            } else if let Some(how) = pair(catalog, a, b) {
                out.push((*i, *j, how));
            }
        }
    }
    out
}

fn pair<'a>(catalog: &'a Catalog, a: &StudyFacts, b: &StudyFacts) -> Option<Shared<'a>> {
    if includes(catalog, a.source, b.source) {
        return Some(Shared::Review);
    }
    if a.source != b.source {
        let root = root(catalog, a.source);
        return (root == self::root(catalog, b.source)).then_some(Shared::Study(root));
    }
    if a.row == b.row {
        return Some(Shared::Result);
    }
    let (first, second) = (a.result(catalog), b.result(catalog));
    if first.arms.is_empty() || second.arms.is_empty() {
        return Some(Shared::Source);
    }
    arm(first, second).map(Shared::Arm)
}

/// An arm of the second result that the first has too.
fn arm<'a>(first: &StudyResult, second: &'a StudyResult) -> Option<&'a Text> {
    second.arms.iter().find(|arm| first.arms.iter().any(|other| other.value == arm.value))
}

/// The study of which a source is a report, over any number of steps.
pub fn root(catalog: &Catalog, source: Idx<Source>) -> Idx<Source> {
    let mut at = source;
    // A circle ends at the length of the table.
    for _ in 0..catalog.sources.len() {
        match catalog.sources[at].part_of.as_ref().and_then(|p| p.to) {
            Some(next) if next != source => at = next,
            _ => break,
        }
    }
    at
}

/// True if a review includes a study or another report of it.
pub fn includes(catalog: &Catalog, review: Idx<Source>, study: Idx<Source>) -> bool {
    let wanted = root(catalog, study);
    review != study && catalog.sources[review].includes.iter().filter_map(|i| i.to).any(|i| i == study || root(catalog, i) == wanted)
}

//! Questions, outcomes and populations.

use super::Reader;
use crate::model::docs::{Asked, Head, Outcome, Population, Question, Rating, RatingStep, ResultRef, Search};
use crate::model::evidence::{Better, Certainty, Comparator, Direction, Domain, EffectMeasure, PooledInterval, Pooling};
use crate::source::Node;

pub(super) fn outcome(r: &mut Reader<'_>, n: &Node, head: Head) -> Outcome {
    Outcome {
        name: r.text(n, "name"),
        other_names: r.texts(n, "other-names"),
        better: r.word(n, "better", Better::from_word).map(|b| b.value),
        about: r.text(n, "about"),
        head,
    }
}

pub(super) fn population(r: &mut Reader<'_>, n: &Node, head: Head) -> Population {
    Population { name: r.text(n, "name"), within: r.maybe_reference(n, "in"), about: r.maybe(n, "about"), head }
}

pub(super) fn question(r: &mut Reader<'_>, n: &Node, head: Head) -> Question {
    let search = n.get("search");
    Question {
        title: r.text(n, "title"),
        who: r.reference(n, "who"),
        intervention: r.text(n, "intervention"),
        technique: r.maybe_reference(n, "technique"),
        comparator: r.word(n, "comparator", Comparator::from_word),
        compared_with: r.maybe(n, "compared-with"),
        search: Search {
            date: search.and_then(|x| r.date(x, "date")),
            places: search.map(|x| r.texts(x, "places")).unwrap_or_default(),
            how: search.and_then(|x| r.maybe(x, "how")),
        },
        include: r.text(n, "include"),
        outcomes: r.items(n, "outcomes").iter().map(|x| asked(r, x)).collect(),
        notes: r.maybe(n, "notes"),
        head,
    }
}

fn asked(r: &Reader<'_>, n: &Node) -> Asked {
    Asked {
        outcome: r.reference(n, "outcome"),
        measured_by: r.maybe_reference(n, "measured-by"),
        importance: r.maybe(n, "importance"),
        time: r.maybe(n, "time"),
        measure: r.word(n, "measure", EffectMeasure::from_word),
        pooling: r.word(n, "pooling", Pooling::from_word),
        interval: r.word(n, "interval", PooledInterval::from_word),
        why_pooled: r.maybe(n, "why-pooled"),
        matters: r.number(n, "matters"),
        matters_why: r.maybe(n, "matters-why"),
        results: r.items(n, "results").iter().map(|x| result(r, x)).collect(),
        certainty: n.get("certainty").map_or(Rating { start: None, steps: Vec::new(), result: None, span: n.span }, |x| rating(r, x)),
        statement: r.maybe(n, "statement"),
        direction: r.word(n, "direction", Direction::from_word),
        span: n.span,
    }
}

/// A result of a source, by the id of the source and its own.
pub(super) fn result(r: &Reader<'_>, n: &Node) -> ResultRef {
    ResultRef { source: r.reference(n, "source"), result: r.text(n, "result"), row: None }
}

fn rating(r: &Reader<'_>, n: &Node) -> Rating {
    let step = |x: &Node| {
        Some(RatingStep {
            domain: r.word(x, "for", Domain::from_word)?,
            steps: r.whole(x, "steps").and_then(|s| u8::try_from(s.value).ok()).unwrap_or(1),
            why: r.maybe(x, "why"),
            cites: r.ground(x).cites,
        })
    };
    Rating {
        start: r.word(n, "start", Certainty::from_word),
        steps: r.items(n, "steps").iter().filter_map(step).collect(),
        result: r.word(n, "result", Certainty::from_word),
        span: n.span,
    }
}

//! Rows of evidence: results that questions and claims use, what follows from them, and what a person judged.

use super::{RowKind, Rows, Said, doc, slug};
use crate::compute::appraisal::claims::{self, Support};
use crate::compute::appraisal::extracted::{extracted, plain, printed};
use crate::compute::appraisal::{Answer, Appraisal, OutcomeFacts};
use crate::model::docs::{Asked, Cite, Ground, RatingStep, Source, StudyResult};
use crate::model::ids::Ref;
use crate::model::{DocRef, Idx, Kind};
use std::collections::{BTreeMap, BTreeSet};

/// Rows of results by source and row in it.
type Results = BTreeMap<(Idx<Source>, usize), usize>;

pub(super) fn gather(rows: &mut Rows<'_>, appraisal: &Appraisal) {
    let catalog = rows.catalog;
    let results: Results = used(rows, appraisal).into_iter().filter_map(|(s, row)| Some(((s, row), result(rows, s, row)?))).collect();
    for (idx, question) in catalog.questions.iter() {
        for (asked, facts) in question.outcomes.iter().zip(&appraisal.of(idx).outcomes) {
            outcome(rows, doc(Kind::Question, idx), asked, facts, &results);
        }
    }
}

/// Results that a question gathers or a claim rests on.
fn used(rows: &Rows<'_>, appraisal: &Appraisal) -> BTreeSet<(Idx<Source>, usize)> {
    let catalog = rows.catalog;
    let gathered = appraisal.questions.iter().flat_map(|q| &q.outcomes).flat_map(|o| &o.studies).map(|s| (s.source, s.row));
    let claimed = claims::all(catalog).filter_map(|(_, _, c)| match claims::support(catalog, c.effect.as_ref()?)? {
        Support::Result { source, result } => {
            Some((source, catalog.sources[source].results.iter().position(|r| r.id.value == result.id.value)?))
        }
        Support::Question { .. } => None,
    });
    gathered.chain(claimed).collect()
}

/// The row of a result: what the source says, at its place in the source.
fn result(rows: &mut Rows<'_>, idx: Idx<Source>, row: usize) -> Option<usize> {
    let catalog = rows.catalog;
    let source = &catalog.sources[idx];
    let result = source.results.get(row)?;
    let itself = Ref { written: source.head.id.clone(), to: Some(idx) };
    let cite = Cite { source: itself, at: result.at.clone(), through: None, supports: None };
    let about = result.outcome.to.map(|o| catalog.outcomes[o].name.value.to_string());
    let name: Vec<String> = [Some(format!("result {}", result.id.value)), about, result.time.as_ref().map(|t| t.value.to_string())]
        .into_iter()
        .flatten()
        .collect();
    let said =
        Said { name: name.join(", "), value: value(source, result), at: result.span, ground: &Ground { cites: vec![cite], basis: None } };
    Some(rows.add(RowKind::Number, doc(Kind::Source, idx), &format!("results/{}", result.id.value), said))
}

fn value(source: &Source, result: &StudyResult) -> String {
    let mut parts = extracted(source, result);
    parts.extend(result.printed.as_ref().map(|p| format!("printed: {}", printed(p, result))));
    if parts.is_empty() {
        parts.extend(result.words.as_ref().map(|w| w.value.to_string()));
    }
    parts.join("; ")
}

fn outcome(rows: &mut Rows<'_>, d: DocRef, asked: &Asked, facts: &OutcomeFacts, results: &Results) {
    let Some(about) = asked.outcome.to.map(|o| &rows.catalog.outcomes[o]) else { return };
    let (under, name) = (format!("outcomes/{}", about.head.id.value), &about.name.value);
    let from: Vec<usize> = facts.studies.iter().filter_map(|s| results.get(&(s.source, s.row)).copied()).collect();
    if let Some(value) = answer(asked, facts) {
        let said = Said { name: format!("answer in numbers, {name}"), value, at: asked.outcome.span(), ground: &super::SILENT };
        put(rows, RowKind::Computed, d, &format!("{under}/answer"), said, &from);
    }
    if let Some(statement) = &asked.statement {
        let value = statement.value.to_string();
        let said = Said { name: format!("answer, {name}"), value, at: statement.span, ground: &super::SILENT };
        let i = put(rows, RowKind::Claim, d, &format!("{under}/statement"), said, &from);
        if let Some(row) = rows.out.get_mut(i) {
            row.certainty = asked.certainty.result.as_ref().map(|c| c.value);
        }
    }
    if let Some(matters) = &asked.matters {
        let why = asked.matters_why.as_ref().map(|w| format!(": {}", w.value)).unwrap_or_default();
        let value = format!("{}{why}", plain(matters.value));
        let said = Said { name: format!("smallest effect that matters, {name}"), value, at: matters.span, ground: &super::SILENT };
        put(rows, RowKind::Number, d, &format!("{under}/matters"), said, &[]);
    }
    for step in &asked.certainty.steps {
        judged(rows, d, &under, name, step, &from);
    }
}

/// The pool or the single effect, in words that hold without the page.
fn answer(asked: &Asked, facts: &OutcomeFacts) -> Option<String> {
    let (measure, shown) = (asked.measure.as_ref()?.value, facts.answer.shown()?);
    let how = match &facts.answer {
        Answer::Pooled(p) => format!("{} results pooled, {}", p.k, p.tau_method.name()),
        _ => "one result".into(),
    };
    let digit = |x: f64| plain((x * 1000.0).round() / 1000.0);
    let interval = format!("{} to {}", digit(shown.interval.low), digit(shown.interval.high));
    Some(format!("{} {} (95 % interval {interval}; {how})", measure.word(), digit(shown.value)))
}

/// A step of certainty that a person took, or a domain that was judged and does not count.
fn judged(rows: &mut Rows<'_>, d: DocRef, under: &str, name: &str, step: &RatingStep, from: &[usize]) {
    let domain = step.domain.value;
    let way = match (step.steps, domain.lowers()) {
        (0, _) => "no step".to_string(),
        (n, lowers) => format!("{n} {}", if lowers { "down" } else { "up" }),
    };
    let why = step.why.as_ref().map_or_else(|| "no reason given".to_string(), |w| w.value.to_string());
    let said = Said {
        name: format!("certainty of {name}, {}", domain.word()),
        value: format!("{way}: {why}"),
        at: step.domain.span,
        ground: &Ground { cites: step.cites.clone(), basis: None },
    };
    put(rows, RowKind::Claim, d, &format!("{under}/certainty/{}", slug(domain.word())), said, from);
}

fn put(rows: &mut Rows<'_>, kind: RowKind, d: DocRef, path: &str, said: Said<'_>, from: &[usize]) -> usize {
    let i = rows.add(kind, d, path, said);
    if let Some(row) = rows.out.get_mut(i) {
        row.from = from.to_vec();
    }
    i
}

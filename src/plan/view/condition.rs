//! A condition.

use super::parts::{CautionRow, Frame, GroundView, Link, LinkGroup, Mark, Pair};
use super::protocol::stop;
use super::sources::{SourceLine, cited_by};
use crate::compute::together::Combination;
use crate::model::docs::{Condition, DoseEntry, Protocol, Rule};
use crate::model::unit::Dim;
use crate::model::vocabulary::{Strength, Stressor};
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc, places, text, texts};
use crate::plan::words;
use serde::Serialize;

/// View of `condition.html`.
#[derive(Debug, Serialize)]
pub struct ConditionPage {
    /// Frame.
    pub frame: Frame,
    /// Other names.
    pub other_names: Vec<String>,
    /// Question.
    pub question: Option<String>,
    /// What to look for.
    pub look_for: Option<String>,
    /// `local` or `general`.
    pub scope: Option<String>,
    /// One row for each stressor and place.
    pub matrix: Vec<MatrixRow>,
    /// What it does together with others, wherever that is written.
    pub together: Vec<Joint>,
    /// Reason.
    pub reason: String,
    /// Techniques that stay possible.
    pub allows: Vec<Link>,
    /// Who clears it, how long it lasts.
    pub facts: Vec<Pair>,
    /// Ground.
    pub ground: GroundView,
    /// Protocols that it touches.
    pub touches: Vec<Touched>,
    /// Sources that it cites.
    pub sources: Vec<SourceLine>,
    /// Who refers here.
    pub used_by: Vec<LinkGroup>,
}

/// A row of the matrix.
#[derive(Debug, Serialize)]
pub struct MatrixRow {
    /// Stressor.
    pub stressor: &'static str,
    /// Strength with its shape; none if the cell is empty.
    pub strength: Option<Mark>,
    /// Numbers of a limit.
    pub numbers: String,
    /// Where; empty means everywhere else.
    pub places: Vec<String>,
    /// Technique instead.
    pub instead: Option<Link>,
    /// Why.
    pub why: Option<String>,
}

/// What a condition does together with others.
#[derive(Debug, Serialize)]
pub struct Joint {
    /// The others: one of them is enough.
    pub with: Vec<Link>,
    /// Rows, in the order of stressors.
    pub rows: Vec<MatrixRow>,
    /// Reason.
    pub reason: String,
    /// Protocols that it touches.
    pub touches: Vec<Touched>,
}

/// A protocol that a condition touches.
#[derive(Debug, Serialize)]
pub struct Touched {
    /// Protocol.
    pub link: Link,
    /// Strongest strength with its shape.
    pub strength: Mark,
    /// Which steps.
    pub rows: Vec<CautionRow>,
}

impl Touched {
    /// A protocol that several conditions touch together.
    pub fn together(site: &Site<'_>, protocol: Idx<Protocol>, combination: &Combination) -> Touched {
        Touched {
            link: site.link(doc(Kind::Protocol, protocol)),
            strength: words::strength(combination.strength),
            rows: stop::combined_rows(site, protocol, combination),
        }
    }
}

impl ConditionPage {
    /// Shows a condition.
    pub fn new(site: &Site<'_>, idx: Idx<Condition>) -> ConditionPage {
        let c = &site.catalog.conditions[idx];
        let own = doc(Kind::Condition, idx);
        let facts = [("Who may clear it", text(&c.clears)), ("How long it lasts", text(&c.lasts)), ("Until", text(&c.until))];
        ConditionPage {
            frame: site.doc_frame(own),
            other_names: texts(&c.other_names),
            question: text(&c.question),
            look_for: text(&c.look_for),
            scope: text(&c.scope),
            matrix: Stressor::ALL.iter().flat_map(|s| matrix(site, c, *s)).collect(),
            together: together(site, idx),
            reason: c.reason.value.to_string(),
            allows: site.follow_all(Kind::Technique, &c.allows),
            facts: facts.into_iter().filter_map(|(label, t)| t.map(|text| Pair { label: label.into(), text })).collect(),
            ground: site.ground(&c.ground),
            touches: touches(site, idx),
            sources: cited_by(site, &[own]),
            used_by: site.used_by(own),
        }
    }
}

fn matrix_row(site: &Site<'_>, r: &Rule) -> MatrixRow {
    MatrixRow {
        stressor: r.stressor.word(),
        strength: Some(words::strength(r.strength)),
        numbers: numbers(r),
        places: places(&r.regions.all),
        instead: r.instead.as_ref().and_then(|t| site.follow(Kind::Technique, t)),
        why: text(&r.why),
    }
}

/// A pair is written at one of its two conditions and shown at both.
fn together(site: &Site<'_>, own: Idx<Condition>) -> Vec<Joint> {
    let mut out = Vec::new();
    for (idx, c) in site.catalog.conditions.iter() {
        for (row, t) in c.together.iter().enumerate() {
            let others = t.others(idx);
            let with = if idx == own {
                others
            } else if others.contains(&own) {
                vec![idx]
            } else {
                continue;
            };
            let of = |p| site.facts.of(p).combinations.iter().find(|x| (x.condition, x.row) == (idx, row) && !x.partners(own).is_empty());
            let touches = site.catalog.protocols.iter().filter_map(|(p, _)| Some(Touched::together(site, p, of(p)?)));
            out.push(Joint {
                with: with.into_iter().map(|o| site.link(doc(Kind::Condition, o))).collect(),
                rows: Stressor::ALL.iter().flat_map(|s| t.rules.iter().filter(|r| r.stressor == *s)).map(|r| matrix_row(site, r)).collect(),
                reason: t.reason.value.to_string(),
                touches: touches.collect(),
            });
        }
    }
    out
}

fn matrix(site: &Site<'_>, c: &Condition, stressor: Stressor) -> Vec<MatrixRow> {
    let rows: Vec<MatrixRow> = c.rules.iter().filter(|r| r.stressor == stressor).map(|r| matrix_row(site, r)).collect();
    if rows.is_empty() {
        let empty =
            MatrixRow { stressor: stressor.word(), strength: None, numbers: String::new(), places: Vec::new(), instead: None, why: None };
        return vec![empty];
    }
    rows
}

/// Numbers of a limit in one line.
pub fn numbers(rule: &Rule) -> String {
    numbers_of(rule, |_| true)
}

/// The same of some of its numbers.
pub fn numbers_of(rule: &Rule, wanted: impl Fn(&DoseEntry) -> bool) -> String {
    if rule.strength != Strength::Limit {
        return String::new();
    }
    // A cover of towels is a least amount in sense, so it gets no "at most".
    let one = |e: &DoseEntry| {
        let d = words::dose_entry(e, None);
        let cover = rule.max.amount(&e.name.value).is_some_and(|q| q.dim() == Dim::Layers);
        let label = d.label.trim_end_matches(" at most");
        let most = if cover { "" } else { "at most " };
        // What is said behind a number stays behind it.
        let said = if words::follows(label) { format!("{most}{} {label}", d.value) } else { format!("{label} {most}{}", d.value) };
        said.trim_start().to_string()
    };
    rule.max.entries.iter().filter(|e| wanted(e)).map(one).collect::<Vec<_>>().join(", ")
}

fn touches(site: &Site<'_>, idx: Idx<Condition>) -> Vec<Touched> {
    let mut out = Vec::new();
    for (p, _) in site.catalog.protocols.iter() {
        let caution = site.facts.of(p).cautions.iter().find(|c| c.condition == idx);
        if let Some(caution) = caution.filter(|c| !c.hits.is_empty()) {
            out.push(Touched {
                link: site.link(doc(Kind::Protocol, p)),
                strength: stop::mark(caution.strength),
                rows: stop::rows(site, p, caution),
            });
        }
    }
    out
}

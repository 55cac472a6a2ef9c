//! An outcome measure.

use super::parts::{Frame, GroundView, LinkGroup, Pair};
use super::sources::{SourceLine, cited_by};
use crate::model::docs::Measure;
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc, pairs, text, texts};
use serde::Serialize;

/// View of `measure.html`.
#[derive(Debug, Serialize)]
pub struct MeasurePage {
    /// Frame.
    pub frame: Frame,
    /// Other names.
    pub other_names: Vec<String>,
    /// What it measures.
    pub measures: String,
    /// Unit.
    pub unit: String,
    /// Bounds.
    pub bounds: Option<String>,
    /// How.
    pub how: Vec<Pair>,
    /// Anchors.
    pub anchors: Option<String>,
    /// Errors.
    pub errors: Vec<ErrorRow>,
    /// Meaningful changes.
    pub meaningful: Vec<ChangeRow>,
    /// Licence.
    pub licence: String,
    /// When to use.
    pub when: Option<String>,
    /// Code.
    pub code: Option<String>,
    /// Sources that it cites.
    pub sources: Vec<SourceLine>,
    /// Who refers here.
    pub used_by: Vec<LinkGroup>,
}

/// Measurement error in one population.
#[derive(Debug, Serialize)]
pub struct ErrorRow {
    /// Population.
    pub population: String,
    /// Standard error of measurement.
    pub sem: Option<String>,
    /// Smallest change that is not error.
    pub mdc: Option<String>,
    /// Confidence.
    pub level: Option<String>,
    /// Note.
    pub note: Option<String>,
    /// Ground.
    pub ground: GroundView,
}

/// A change that matters to people.
#[derive(Debug, Serialize)]
pub struct ChangeRow {
    /// Change.
    pub change: Option<String>,
    /// Anchor.
    pub anchor: Option<String>,
    /// Population.
    pub population: String,
    /// Ground.
    pub ground: GroundView,
}

impl MeasurePage {
    /// Shows a measure.
    pub fn new(site: &Site<'_>, idx: Idx<Measure>) -> MeasurePage {
        let m = &site.catalog.measures[idx];
        let own = doc(Kind::Measure, idx);
        MeasurePage {
            frame: site.doc_frame(own),
            other_names: texts(&m.other_names),
            measures: m.measures.value.to_string(),
            unit: m.unit.value.to_string(),
            bounds: m.bounds.as_ref().map(|q| q.value.shown()),
            how: pairs(&m.how),
            anchors: text(&m.anchors),
            errors: errors(site, m),
            meaningful: changes(site, m),
            licence: m.licence.value.to_string(),
            when: text(&m.when),
            code: text(&m.code),
            sources: cited_by(site, &[own]),
            used_by: site.used_by(own),
        }
    }
}

fn errors(site: &Site<'_>, m: &Measure) -> Vec<ErrorRow> {
    m.errors
        .iter()
        .map(|e| ErrorRow {
            population: e.population.value.to_string(),
            sem: e.sem.as_ref().map(|q| q.value.shown()),
            mdc: e.mdc.as_ref().map(|q| q.value.shown()),
            level: e.level.map(|l| format!("{l}\u{a0}%")),
            note: text(&e.note),
            ground: site.ground(&e.ground),
        })
        .collect()
}

fn changes(site: &Site<'_>, m: &Measure) -> Vec<ChangeRow> {
    m.meaningful
        .iter()
        .map(|c| ChangeRow {
            change: c.change.as_ref().map(|q| q.value.shown()),
            anchor: text(&c.anchor),
            population: c.population.value.to_string(),
            ground: site.ground(&c.ground),
        })
        .collect()
}

//! An outcome measure: how it is taken, how well it repeats, and what a change in one person can show.

use super::parts::{Frame, GroundView, Link, LinkGroup, Pair};
use super::sources::{SourceLine, cited_by};
use crate::compute::measurement::{self, ErrorFacts, Known, Origin, Threshold, sign};
use crate::model::docs::{Meaningful, Measure, MeasureError, Reliability};
use crate::model::interval::Interval;
use crate::model::quantity;
use crate::model::unit::Unit;
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
    /// The outcome that it measures, and which way is better.
    pub outcome: Option<(Link, Option<&'static str>)>,
    /// Unit.
    pub unit: String,
    /// Bounds.
    pub bounds: Option<String>,
    /// How.
    pub how: Vec<Pair>,
    /// What taking it does to the body.
    pub loads: String,
    /// Anchors.
    pub anchors: Option<String>,
    /// Agreement of repeated measuring.
    pub reliability: Vec<ReliabilityRow>,
    /// Errors.
    pub errors: Vec<ErrorRow>,
    /// Meaningful changes.
    pub meaningful: Vec<ChangeRow>,
    /// What a change in one person can show, in the author's words.
    pub in_one_person: Option<String>,
    /// Inputs of the calculator; none if no error is known.
    pub calculator: Option<Calculator>,
    /// Licence.
    pub licence: String,
    /// True if items may not be reprinted.
    pub restricted: bool,
    /// When to use.
    pub when: Option<String>,
    /// Code.
    pub code: Option<String>,
    /// Sources that it cites.
    pub sources: Vec<SourceLine>,
    /// Who refers here.
    pub used_by: Vec<LinkGroup>,
}

/// Agreement in one population.
#[derive(Debug, Serialize)]
pub struct ReliabilityRow {
    /// Population, with the site.
    pub population: String,
    /// Who is compared with whom.
    pub rater: &'static str,
    /// Coefficient and value.
    pub value: String,
    /// Interval.
    pub interval: Option<String>,
    /// Note.
    pub note: Option<String>,
    /// Ground.
    pub ground: GroundView,
}

/// Measurement error in one population.
#[derive(Debug, Serialize)]
pub struct ErrorRow {
    /// Population, with the site.
    pub population: String,
    /// Between which readings.
    pub rater: Option<&'static str>,
    /// Standard error of measurement.
    pub sem: Option<Shown>,
    /// Smallest change that is not error, at 90 %.
    pub at90: Option<Shown>,
    /// The same at 95 %.
    pub at95: Option<Shown>,
    /// The printed change where its level is not known.
    pub no_level: Option<String>,
    /// Why nothing is known.
    pub unknown: Option<String>,
    /// Spread and coefficient from which it may be computed; note.
    pub notes: Vec<String>,
    /// Ground.
    pub ground: GroundView,
}

/// An amount and a word for where it comes from.
#[derive(Debug, Serialize)]
pub struct Shown {
    /// Amount.
    pub amount: String,
    /// `printed` or how it was computed.
    pub from: &'static str,
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
    /// Whether it can be told from error in one person.
    pub against: String,
    /// Ground.
    pub ground: GroundView,
}

/// What the script of the calculator needs; the table below it says the same without script.
#[derive(Debug, Serialize)]
pub struct Calculator {
    /// Unit in the answer.
    pub unit: &'static str,
    /// The unit of exactly one.
    pub one: &'static str,
    /// Which way is better, where that is known.
    pub better: Option<&'static str>,
    /// Bounds beside the fields.
    pub range: String,
    /// Least value of a reading.
    pub least: String,
    /// Greatest value of a reading.
    pub most: String,
    /// One option for each error with a threshold.
    pub options: Vec<ErrorOption>,
}

/// An error to choose.
#[derive(Debug, Serialize)]
pub struct ErrorOption {
    /// Population, rater and site.
    pub name: String,
    /// Least threshold in the unit of the measure.
    pub low: String,
    /// Greatest threshold.
    pub high: String,
    /// Level in words.
    pub level: String,
    /// Up to which change it can be error.
    pub within: String,
    /// From which change on it is larger.
    pub beyond: String,
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
            outcome: outcome(site, m),
            unit: super::effect::unit_words(&m.unit.value).to_string(),
            bounds: m.bounds.as_ref().map(|q| q.value.scale()),
            how: pairs(&m.how),
            loads: match m.loads.iter().map(|l| l.value.word()).collect::<Vec<_>>().join(", ") {
                none if none.is_empty() => "nothing".into(),
                loads => loads,
            },
            anchors: text(&m.anchors),
            reliability: m.reliability.iter().map(|r| reliability(site, r)).collect(),
            errors: m.errors.iter().map(|e| error(site, e)).collect(),
            meaningful: m.meaningful.iter().map(|c| change(site, m, c)).collect(),
            in_one_person: text(&m.in_one_person),
            calculator: calculator(site, m),
            licence: m.licence.value.to_string(),
            restricted: m.licence_terms.as_ref().is_some_and(|l| l.value == crate::model::vocabulary::LicenceTerms::Restricted),
            when: text(&m.when),
            code: text(&m.code),
            sources: cited_by(site, &[own]),
            used_by: site.used_by(own),
        }
    }
}

fn outcome(site: &Site<'_>, m: &Measure) -> Option<(Link, Option<&'static str>)> {
    let idx = m.outcome.as_ref()?.to?;
    Some((site.link(doc(Kind::Outcome, idx)), site.catalog.outcomes[idx].better.map(crate::model::evidence::Better::word)))
}

/// A population with its site.
fn people(population: &crate::source::Text, site: &Option<crate::source::Text>) -> String {
    let site = text(site).map(|s| format!(", {s}")).unwrap_or_default();
    format!("{}{site}", population.value)
}

fn reliability(site: &Site<'_>, r: &Reliability) -> ReliabilityRow {
    ReliabilityRow {
        population: people(&r.population, &r.site),
        rater: r.rater.word(),
        value: r.value.as_ref().map(|v| sign::shown(r.kind, v.value)).unwrap_or_default(),
        interval: r.interval.as_ref().map(|i| format!("{} to {}", quantity::number(i.value.lo), quantity::number(i.value.hi))),
        note: text(&r.note),
        ground: site.ground(&r.ground),
    }
}

fn shown(unit: Option<&'static Unit>, k: Option<Known>) -> Option<Shown> {
    let (unit, k) = (unit?, k?);
    let from = match k.origin {
        Origin::Printed => "printed",
        Origin::FromError => "computed from the standard error",
        Origin::FromSpread => "computed from spread and ICC",
        Origin::FromOtherLevel => "computed from the printed change",
    };
    Some(Shown { amount: quantity::show_distance(unit, k.amount), from })
}

fn error(site: &Site<'_>, e: &MeasureError) -> ErrorRow {
    let facts = ErrorFacts::of(e);
    let spread = e.sd.as_ref().map(|sd| format!("Spread between people (SD) {}.", sd.value.distance()));
    let icc = e.icc.as_ref().map(|i| format!("{}.", sign::shown(crate::model::vocabulary::Coefficient::Icc, i.value)));
    let implied =
        facts.level.filter(|_| facts.implied).map(|l| format!("The level of {}\u{a0}% follows from the arithmetic.", l.percent()));
    ErrorRow {
        population: people(&e.population, &e.site),
        rater: e.rater.map(crate::model::vocabulary::Raters::word),
        sem: shown(facts.unit, facts.sem),
        at90: shown(facts.unit, facts.at90),
        at95: shown(facts.unit, facts.at95),
        no_level: e.mdc.as_ref().filter(|_| facts.level.is_none()).map(|m| m.value.distance()),
        unknown: text(&e.unknown),
        notes: [spread, icc, implied, text(&e.note)].into_iter().flatten().collect(),
        ground: site.ground(&e.ground),
    }
}

/// A detectable change and how sure it is, as `12° (95 % sure)`.
pub fn threshold(unit: &'static Unit, t: &Threshold) -> String {
    let level = t.level.map(|l| format!(" ({}\u{a0}% sure)", l.percent())).unwrap_or_default();
    format!("{}{level}", quantity::show_distance(unit, t.change))
}

/// Whether a meaningful change can be told from error in one person, in a sentence.
pub fn against(site: &Site<'_>, m: &Measure, c: &Meaningful) -> String {
    let Some((y, size)) = measurement::against(site.catalog, m, c) else {
        return "The error of the measure is not known, so nothing can be said of one person.".into();
    };
    let unit = c.change.as_ref().map_or(quantity::unit_named("%"), |a| a.value.unit);
    let whose = if y.same_people {
        "measured in the same people".into()
    } else {
        format!("measured in other people: {}", y.error.population.value)
    };
    let error = threshold(unit, &y.threshold);
    match y.threshold.judge(size) {
        measurement::Verdict::Within => format!("Smaller than the error of {error}, {whose}. In one person it cannot be told from error."),
        measurement::Verdict::Unclear => format!("Smaller than the largest error of {error}, {whose}. In one person it may be error."),
        measurement::Verdict::Beyond => format!("Not smaller than the error of {error}, {whose}."),
    }
}

fn change(site: &Site<'_>, m: &Measure, c: &Meaningful) -> ChangeRow {
    ChangeRow {
        change: c.change.as_ref().map(|q| q.value.distance()),
        anchor: text(&c.anchor),
        population: c.population.value.to_string(),
        against: against(site, m, c),
        ground: site.ground(&c.ground),
    }
}

fn calculator(site: &Site<'_>, m: &Measure) -> Option<Calculator> {
    let bounds = &m.bounds.as_ref()?.value;
    let unit = bounds.unit;
    let plain = |base: f64| quantity::number((base / unit.factor * 100.0).round() / 100.0);
    let option = |e: &MeasureError| {
        let t = ErrorFacts::of(e).threshold?;
        let rater = e.rater.map(|r| format!(", {}", r.word())).unwrap_or_default();
        let end = |base: f64| quantity::show_distance(unit, Interval::exact(base));
        Some(ErrorOption {
            name: format!("{}{rater}", people(&e.population, &e.site)),
            low: plain(t.change.lo),
            high: plain(t.change.hi),
            level: t.level.map_or("level not known".into(), |l| format!("{}\u{a0}% sure", l.percent())),
            within: end(t.change.lo),
            beyond: end(t.change.hi),
        })
    };
    let options: Vec<ErrorOption> = m.errors.iter().filter_map(option).collect();
    let points = unit.dim == crate::model::unit::Dim::Pain;
    let calculator = Calculator {
        range: bounds.scale(),
        unit: if points { "points" } else { unit.shown },
        one: if points { "point" } else { unit.one },
        better: outcome(site, m).and_then(|(_, better)| better),
        least: plain(bounds.base().lo),
        most: plain(bounds.base().hi),
        options,
    };
    (!calculator.options.is_empty()).then_some(calculator)
}

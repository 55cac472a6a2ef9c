//! A technique.

use super::parts::{ClaimView, Frame, GroundView, LimitView, Link, LinkGroup, Pair, Prose, StopView};
use super::sources::{SourceLine, cited_by};
use crate::model::docs::{Apparatus, Comes, Course, OrderRule, Parameter, SweepFrom, SweepRule, Technique, Term, Towards};
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc, pairs, stops, text, texts};
use crate::plan::words;
use crate::source::Text;
use serde::Serialize;

/// View of `technique.html`.
#[derive(Debug, Serialize)]
pub struct TechniquePage {
    /// Frame.
    pub frame: Frame,
    /// Other names.
    pub other_names: Vec<String>,
    /// Aim.
    pub aim: String,
    /// Role.
    pub role: &'static str,
    /// What it does to the body.
    pub exposes: Vec<ExposureRow>,
    /// Parameters.
    pub parameters: Vec<ParameterRow>,
    /// What brings heat or cold.
    pub apparatus: Vec<ApparatusView>,
    /// How the time of a step is derived.
    pub takes: Option<String>,
    /// Set-up time, least time between sessions and other single facts.
    pub facts: Vec<Pair>,
    /// Least useful totals.
    pub least: Vec<Pair>,
    /// How it moves over the skin, with its ground.
    pub sweep: Option<SweepView>,
    /// Equipment.
    pub equipment: Vec<String>,
    /// Contact.
    pub contact: Vec<String>,
    /// Body mechanics, cue, breathing.
    pub manner: Vec<Pair>,
    /// Start criteria.
    pub start: Vec<String>,
    /// Stop rules.
    pub stop: Vec<StopView>,
    /// Order rules.
    pub order: Vec<OrderView>,
    /// Limits.
    pub limits: Vec<LimitView>,
    /// Harms.
    pub harms: Vec<ClaimView>,
    /// If it goes wrong.
    pub if_wrong: String,
    /// Notes.
    pub notes: Option<Prose>,
    /// Ground.
    pub ground: GroundView,
    /// Sources that it cites.
    pub sources: Vec<SourceLine>,
    /// Who refers here.
    pub used_by: Vec<LinkGroup>,
}

/// How a technique moves over the skin.
#[derive(Debug, Serialize)]
pub struct SweepView {
    /// In words.
    pub rule: String,
    /// Ground.
    pub ground: GroundView,
}

/// A load.
#[derive(Debug, Serialize)]
pub struct ExposureRow {
    /// Stressor.
    pub stressor: &'static str,
    /// What adds up.
    pub total: Option<String>,
    /// What caps pain.
    pub peak: Option<String>,
    /// How long the skin counts as numb.
    pub numbs_for: Option<String>,
}

/// A parameter.
#[derive(Debug, Serialize)]
pub struct ParameterRow {
    /// Name.
    pub name: String,
    /// Allowed amounts or words.
    pub allowed: String,
    /// The same in the other unit of a pair.
    pub other: Option<String>,
    /// True if each step states it.
    pub required: bool,
    /// Meaning.
    pub means: Option<String>,
    /// Ground.
    pub ground: GroundView,
}

/// Something that brings heat or cold.
#[derive(Debug, Serialize)]
pub struct ApparatusView {
    /// Word of the dose for which it holds.
    pub agent: Option<String>,
    /// Source, cover, footprint, first look, dangers of a coolant.
    pub facts: Vec<Pair>,
}

/// An order rule.
#[derive(Debug, Serialize)]
pub struct OrderView {
    /// Rule in words, without its object.
    pub rule: String,
    /// Technique it is about.
    pub technique: Option<Link>,
    /// Stressor it is about.
    pub stressor: Option<&'static str>,
    /// Why.
    pub why: String,
}

impl TechniquePage {
    /// Shows a technique.
    pub fn new(site: &Site<'_>, idx: Idx<Technique>) -> TechniquePage {
        let t = &site.catalog.techniques[idx];
        let own = doc(Kind::Technique, idx);
        TechniquePage {
            frame: site.doc_frame(own),
            other_names: texts(&t.other_names),
            aim: t.aim.value.to_string(),
            role: t.role.word(),
            exposes: exposes(t),
            parameters: t.parameters.iter().map(|p| parameter(site, p)).collect(),
            apparatus: t.thermal.iter().map(apparatus).collect(),
            takes: takes(&t.takes),
            facts: facts(t),
            least: t.least.iter().map(|(s, q)| Pair { label: s.value.word().into(), text: q.value.shown() }).collect(),
            sweep: t.sweep.as_ref().map(|rule| sweep(site, rule)),
            equipment: texts(&t.equipment),
            contact: texts(&t.contact),
            manner: pairs(&t.manner),
            start: texts(&t.start),
            stop: stops(&t.stop, false),
            order: t.order.iter().filter_map(|r| order(site, r)).collect(),
            limits: site.limits(&t.limits),
            harms: site.claims(&t.harms),
            if_wrong: t.if_wrong.value.to_string(),
            notes: site.maybe_prose(&t.notes, 1),
            ground: site.ground(&t.ground),
            sources: cited_by(site, &[own]),
            used_by: site.used_by(own),
        }
    }
}

fn product(names: &[Text]) -> String {
    names.iter().map(|n| words::parameter(&n.value)).collect::<Vec<_>>().join(" × ")
}

fn exposes(t: &Technique) -> Vec<ExposureRow> {
    t.exposes
        .iter()
        .map(|e| ExposureRow {
            stressor: e.stressor.word(),
            total: (!e.total.is_empty()).then(|| product(&e.total)),
            peak: e.peak.as_ref().map(|p| words::parameter(&p.value)),
            numbs_for: e.numbs_for.as_ref().map(|q| q.value.shown()),
        })
        .collect()
}

fn sweep(site: &Site<'_>, rule: &SweepRule) -> SweepView {
    let from = match rule.from.value {
        SweepFrom::Either => "from either attachment; the step says which",
        SweepFrom::Proximal => "from the proximal attachment",
        SweepFrom::Distal => "from the distal attachment",
    };
    let along = if rule.along.value == Course::Along { "along the fibres" } else { "across the fibres" };
    SweepView { rule: format!("Over the skin {along}, {from}."), ground: site.ground(&rule.ground) }
}

fn parameter(site: &Site<'_>, p: &Parameter) -> ParameterRow {
    let amount = p.allowed.as_ref().map(|q| &q.value);
    ParameterRow {
        name: words::parameter(&p.name.value),
        allowed: amount.map_or_else(|| texts(&p.words).join(", "), crate::model::quantity::Quantity::shown),
        other: amount.and_then(crate::model::quantity::Quantity::other_unit),
        required: p.required,
        means: text(&p.means),
        ground: site.ground(&p.ground),
    }
}

fn apparatus(a: &Apparatus) -> ApparatusView {
    let all = [
        ("Source", Some(a.source.value.word().to_string())),
        ("Each layer over the skin", a.cover.as_ref().map(|c| c.value.word().to_string())),
        ("Cold at one moment", a.footprint.as_ref().map(|q| q.value.shown())),
        ("First look at the skin", a.first_check.as_ref().map(|q| format!("within {}", q.value.shown()))),
    ];
    let safety = a.safety.parts().into_iter().map(|(_, label, t)| (label, t.map(|t| t.value.to_string())));
    let facts = all.into_iter().chain(safety).filter_map(|(label, t)| t.map(|text| Pair { label: label.into(), text })).collect();
    ApparatusView { agent: text(&a.agent), facts }
}

fn takes(terms: &[Term]) -> Option<String> {
    let one = |t: &Term| {
        let over = if t.over.is_empty() { String::new() } else { format!(" ÷ {}", product(&t.over)) };
        format!("{}{over}", product(&t.times))
    };
    (!terms.is_empty()).then(|| terms.iter().map(one).collect::<Vec<_>>().join(" + "))
}

fn facts(t: &Technique) -> Vec<Pair> {
    let amount = |q: &Option<crate::model::docs::Amount>| q.as_ref().map(|q| q.value.shown());
    let all = [
        ("Training", Some(t.training.value.to_string())),
        ("Authorisation", text(&t.authorisation)),
        ("Set-up time", amount(&t.set_up)),
        ("Watch", text(&t.monitoring)),
        ("Look again every", amount(&t.monitoring_every)),
        ("Between sessions at least", amount(&t.recovery)),
        ("After-effects", text(&t.after_effects)),
        ("They last", amount(&t.after_effects_last)),
        ("Allergens", text(&t.allergens)),
    ];
    all.into_iter().filter_map(|(label, t)| t.map(|text| Pair { label: label.into(), text })).collect()
}

fn order(site: &Site<'_>, rule: &OrderRule) -> Option<OrderView> {
    let gap = rule.gap.as_ref().map(|q| q.value.shown());
    let mut words = match rule.comes {
        Comes::After => "Comes after".to_string(),
        Comes::Before => "Comes before".to_string(),
        Comes::OnlyAfter => "Only after".to_string(),
        Comes::Apart => format!("At least {} apart from", gap.clone().unwrap_or_else(|| "some time".into())),
    };
    if rule.comes != Comes::Apart
        && let Some(gap) = gap
    {
        words = format!("{words}, at least {gap} apart:");
    }
    if rule.anywhere {
        words = format!("Wherever on the body: {}", words.to_lowercase());
    }
    let (technique, stressor) = match rule.towards.as_ref()? {
        Towards::Technique(t) => (site.follow(Kind::Technique, t), None),
        Towards::Stressor(s) => (None, Some(s.word())),
    };
    Some(OrderView { rule: words, technique, stressor, why: rule.why.value.to_string() })
}

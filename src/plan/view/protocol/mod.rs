//! A protocol: stop-signs, set-up, find, do, re-test, after-care, and what it all rests on.

pub mod ledger;
pub mod retest;
pub mod steps;
pub mod stop;
pub mod thermal;
pub mod timeline;
pub mod trace;

use super::muscle::{HazardView, PointView, hazards, point};
use super::parts::{CautionGroup, ClaimView, FlagGroup, Frame, GroundView, LedgerRow, Link, LinkGroup, Pair, Prose, Trace};
use super::sources::{SourceLine, cited_by};
use crate::compute::reporting::State;
use crate::model::docs::Protocol;
use crate::model::region::regions;
use crate::model::{Idx, Kind};
use crate::plan::export::worksheet;
use crate::plan::site::{Site, doc, pairs, text, texts};
use crate::plan::{route, words};
use serde::Serialize;

/// View of `protocol.html`.
#[derive(Debug, Serialize)]
pub struct ProtocolPage {
    /// Frame.
    pub frame: Frame,
    /// Muscle.
    pub muscle: Option<Link>,
    /// Side.
    pub side: String,
    /// Aim.
    pub aim: String,
    /// Its card.
    pub card: Option<String>,
    /// Itself in the treatment room; a retired one has no room view.
    pub room: Option<String>,
    /// Its mark sheet.
    pub mark_sheet: Option<String>,
    /// Its leaflet on a page of its own.
    pub handout: Option<String>,
    /// Its worksheet, if something is computed from inputs of its own.
    pub worksheet: Option<String>,
    /// Red flags, most urgent first.
    pub flags: Vec<FlagGroup>,
    /// Topics that no flag covers.
    pub uncovered: Vec<String>,
    /// Cautions, strongest first.
    pub cautions: Vec<CautionGroup>,
    /// Cautions that the pack typed by hand.
    pub typed_cautions: Vec<String>,
    /// Whom it is for.
    pub population: Vec<Pair>,
    /// Conditions that put a person outside.
    pub excludes: Vec<Link>,
    /// Positions in order of use.
    pub positions: Vec<PositionLine>,
    /// Mode, setting, appointment, allergens.
    pub setting: Vec<Pair>,
    /// Equipment.
    pub equipment: Vec<String>,
    /// Consent script.
    pub consent: Vec<Pair>,
    /// Chaperone, draping, record.
    pub sensitive: Vec<Pair>,
    /// Points that the steps use.
    pub points: Vec<PointView>,
    /// Hazards of the muscle and of the regions.
    pub hazards: Vec<HazardView>,
    /// Chart.
    pub chart: Option<super::chart::ChartView>,
    /// Steps.
    pub steps: Vec<steps::StepView>,
    /// Time axis.
    pub timeline: timeline::TimelineView,
    /// Ledger.
    pub ledger: Vec<LedgerRow>,
    /// Rows of the dossier behind spacing, appointment, ages, limits of cautions and whole time.
    pub traces: Vec<Trace>,
    /// Numbers of the steps that measure again.
    pub retest: Vec<retest::RetestView>,
    /// After-care.
    pub aftercare: Vec<String>,
    /// Home programme.
    pub home: Vec<steps::HomeView>,
    /// Spacing and course.
    pub spacing: Vec<Pair>,
    /// Ground of the spacing.
    pub spacing_ground: GroundView,
    /// When to change, tailoring, modifications, audit.
    pub change: Vec<Pair>,
    /// Why.
    pub rationale: Vec<ClaimView>,
    /// Evidence.
    pub evidence: Vec<ClaimView>,
    /// The 12 cells of the description.
    pub reporting: Vec<CellView>,
    /// What to record.
    pub record: Vec<String>,
    /// Leaflet.
    pub leaflet: Option<Prose>,
    /// Notes.
    pub notes: Option<Prose>,
    /// Sources.
    pub sources: Vec<SourceLine>,
    /// Who refers here.
    pub used_by: Vec<LinkGroup>,
}

/// A position in the set-up.
#[derive(Debug, Serialize)]
pub struct PositionLine {
    /// Position.
    pub link: Link,
    /// How.
    pub how: String,
    /// Supports.
    pub supports: Vec<String>,
    /// Drape.
    pub drape: String,
    /// From which step.
    pub from: u32,
}

/// A cell of the description.
#[derive(Debug, Serialize)]
pub struct CellView {
    /// Item number.
    pub item: u8,
    /// Name.
    pub name: &'static str,
    /// Where the pack says it.
    pub from: &'static str,
    /// `filled`, `empty`, `does not apply`.
    pub state: &'static str,
    /// Shape.
    pub shape: &'static str,
    /// Reason, where it does not apply.
    pub reason: Option<&'static str>,
}

impl ProtocolPage {
    /// Shows a protocol.
    pub fn new(site: &Site<'_>, idx: Idx<Protocol>) -> ProtocolPage {
        let p = &site.catalog.protocols[idx];
        let facts = site.facts.of(idx);
        let own = doc(Kind::Protocol, idx);
        ProtocolPage {
            frame: site.doc_frame(own),
            muscle: site.follow(Kind::Muscle, &p.muscle),
            side: p.side.value.to_string(),
            aim: p.aim.value.to_string(),
            card: site.card(doc(Kind::Protocol, idx)),
            room: site.room(own),
            mark_sheet: super::course::mark_sheet(site, idx),
            handout: super::course::leaflet(site, idx),
            worksheet: worksheet::has(facts).then(|| site.to(&route::worksheet(&p.head.id.value))),
            flags: stop::flag_groups(stop::flags(site, idx)),
            uncovered: uncovered(facts),
            cautions: stop::caution_groups(stop::cautions(site, idx)),
            typed_cautions: texts(&p.cautions),
            population: population(p),
            excludes: site.follow_all(Kind::Condition, &p.population.excludes),
            positions: positions(site, idx),
            setting: setting(site, p),
            equipment: texts(&p.equipment),
            consent: pairs(&p.consent),
            sensitive: pairs(&p.sensitive),
            points: points(site, p),
            hazards: all_hazards(site, idx),
            chart: super::chart::of_protocol(site, idx),
            steps: steps::steps(site, idx),
            timeline: timeline::timeline(site, idx),
            ledger: ledger::rows(site.catalog, &facts.ledger, false, &|cell, per| trace::total(site, own, cell, per)),
            traces: trace::of_protocol(site, own, p),
            retest: retest::all(site, p),
            aftercare: texts(&p.aftercare),
            home: steps::home(site, idx),
            spacing: spacing(p),
            spacing_ground: site.ground(&p.spacing.ground),
            change: change(p),
            rationale: site.claims(&p.rationale),
            evidence: site.claims(&p.evidence),
            reporting: facts.reporting.iter().map(cell).collect(),
            record: texts(&p.record),
            leaflet: site.maybe_prose(&p.leaflet, 1),
            notes: site.maybe_prose(&p.notes, 1),
            sources: sources(site, p),
            used_by: site.used_by(own),
        }
    }
}

/// Topics that no flag covers.
pub fn uncovered(facts: &crate::compute::ProtocolFacts) -> Vec<String> {
    let mut topics: Vec<String> = facts.flags.uncovered.iter().map(|u| u.topic.replace('-', " ")).collect();
    topics.dedup();
    topics
}

fn population(p: &Protocol) -> Vec<Pair> {
    let mut out = pairs(&p.population.words);
    let ages = p.population.ages.as_ref().map(|q| q.value.shown());
    for (label, value) in [("Ages", ages), ("Pregnancy", text(&p.population.pregnancy))] {
        out.extend(value.map(|text| Pair { label: label.into(), text }));
    }
    out
}

/// Positions in order of use, each once.
pub fn positions(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<PositionLine> {
    let p = &site.catalog.protocols[idx];
    let mut seen = Vec::new();
    let mut out = Vec::new();
    for (step, f) in p.steps.iter().zip(&site.facts.of(idx).steps) {
        let Some(position) = f.position.filter(|x| !seen.contains(x)) else { continue };
        seen.push(position);
        let pos = &site.catalog.positions[position];
        out.push(PositionLine {
            link: site.link(doc(Kind::Position, position)),
            how: pos.how.value.to_string(),
            supports: texts(&pos.supports),
            drape: pos.drape.value.to_string(),
            from: step.number.value,
        });
    }
    out
}

/// Steps before which the person turns to a position that was taken before, and its name.
pub fn turned_back(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<(u32, String)> {
    let mut seen = Vec::new();
    let mut out = Vec::new();
    for (step, f) in site.catalog.protocols[idx].steps.iter().zip(&site.facts.of(idx).steps) {
        let Some(position) = f.position else { continue };
        if !seen.contains(&position) {
            seen.push(position);
        } else if f.turns {
            out.push((step.number.value, site.catalog.positions[position].name.value.to_string()));
        }
    }
    out
}

fn setting(site: &Site<'_>, p: &Protocol) -> Vec<Pair> {
    let pack = &site.catalog.packs[p.head.pack];
    let appointment = p.appointment.as_ref().or(pack.appointment.as_ref()).map(|q| q.value.shown());
    let all = [
        ("Appointment", appointment),
        ("How", text(&p.mode)),
        ("Where", text(&p.setting)),
        ("Allergens", text(&p.allergens)),
        ("House pain cap", pack.pain_cap.as_ref().map(|q| q.value.shown())),
    ];
    all.into_iter().filter_map(|(label, t)| t.map(|text| Pair { label: label.into(), text })).collect()
}

fn points(site: &Site<'_>, p: &Protocol) -> Vec<PointView> {
    let Some(muscle) = p.muscle.to else { return Vec::new() };
    site.catalog.muscles[muscle].points.iter().map(|x| point(site, x)).collect()
}

/// Hazards of the muscle, then of every region that a step treats.
pub fn all_hazards(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<HazardView> {
    let p = &site.catalog.protocols[idx];
    let mut out = p.muscle.to.map(|m| hazards(site, &site.catalog.muscles[m])).unwrap_or_default();
    let mut treated: Vec<_> =
        site.facts.of(idx).steps.iter().filter(|s| s.is_treatment()).flat_map(|s| s.places.iter().map(|x| x.region)).collect();
    treated.sort_unstable();
    treated.dedup();
    for region in treated.into_iter().map(|r| regions().get(r)) {
        for h in &region.hazards {
            match out.iter_mut().find(|o| o.text == h.text) {
                Some(known) => known.places.push(region.name.clone()),
                None => out.push(HazardView {
                    text: h.text.clone(),
                    places: vec![region.name.clone()],
                    ground: GroundView::default(),
                    report: Some(h.source.clone()),
                }),
            }
        }
    }
    out
}

fn spacing(p: &Protocol) -> Vec<Pair> {
    let s = &p.spacing;
    let amount = |q: &Option<crate::model::docs::Amount>| q.as_ref().map(|q| q.value.shown());
    let all = [
        ("Between sessions", amount(&s.gap)),
        ("How often", amount(&s.per_week)),
        ("Course", amount(&s.sessions)),
        ("Decide after", amount(&s.decide_after)),
        ("How to decide", text(&s.decide)),
    ];
    all.into_iter().filter_map(|(label, t)| t.map(|text| Pair { label: label.into(), text })).collect()
}

fn change(p: &Protocol) -> Vec<Pair> {
    let all = [
        ("Change the plan", text(&p.change_plan)),
        ("Tailoring", text(&p.tailoring)),
        ("Modifications", text(&p.modifications)),
        ("Audit, planned", text(&p.audit_planned)),
        ("Audit, actual", text(&p.audit_actual)),
    ];
    all.into_iter().filter_map(|(label, t)| t.map(|text| Pair { label: label.into(), text })).collect()
}

fn cell(c: &crate::compute::reporting::Cell) -> CellView {
    let (state, shape, reason) = match c.state {
        State::Filled => ("filled", "square", None),
        State::Empty => ("empty", "ring", None),
        State::NotApplicable(why) => ("does not apply", "dash", Some(why)),
    };
    CellView { item: c.item, name: c.name, from: c.from, state, shape, reason }
}

/// Every source that the protocol, its muscle, its techniques and its texts cite.
fn sources(site: &Site<'_>, p: &Protocol) -> Vec<SourceLine> {
    let mut users = vec![site.catalog.find(Kind::Protocol, &p.head.id.value)];
    users.push(p.muscle.to.map(|m| doc(Kind::Muscle, m)));
    users.extend(
        p.steps
            .iter()
            .filter_map(|s| s.technique.to)
            .chain(p.home.iter().filter_map(|h| h.technique.to))
            .map(|t| Some(doc(Kind::Technique, t))),
    );
    let users: Vec<_> = users.into_iter().flatten().collect();
    cited_by(site, &users)
}

/// Words of a card about the evidence: each claim with its certainty.
pub fn evidence_line(site: &Site<'_>, p: &Protocol) -> String {
    super::claim::on_card(site, &p.evidence)
}

/// Authors and years of the sources that a card names, each once.
pub fn short_sources(site: &Site<'_>, p: &Protocol) -> Vec<String> {
    let mut out: Vec<String> = sources(site, p).into_iter().map(|s| s.link.text).collect();
    out.dedup();
    out
}

/// The side of a protocol, for people.
pub fn side(p: &Protocol) -> String {
    match &*p.side.value {
        "either" => "either side: say which".into(),
        other => words::capital(other),
    }
}

//! Steps and home items of a protocol.

use crate::compute::dossier::home_path;
use crate::compute::order;
use crate::compute::steps::StepFacts;
use crate::model::docs::{Branch, HomeItem, HouseThermal, Point, Protocol, Step, Target, Technique};
use crate::model::vocabulary::{Role, Stressor};
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc, places, stops, text};
use crate::plan::view::altered::{Altered, Changes};
use crate::plan::view::parts::{DoseView, GroundView, Link, Pair, StopView, Trace};
use crate::plan::view::position;
use crate::plan::view::protocol::thermal::{self, ThermalView};
use crate::plan::view::protocol::trace;
use crate::plan::view::stretch::{StretchView, stretch};
use crate::plan::words;
use serde::Serialize;

/// A step.
#[derive(Debug, Serialize)]
pub struct StepView {
    /// Number.
    pub number: u32,
    /// One action.
    pub action: String,
    /// Technique.
    pub technique: Option<Link>,
    /// True if it loads the body.
    pub treats: bool,
    /// True if it only asks or tells.
    pub asks: bool,
    /// Where.
    pub target: Option<String>,
    /// Position, if it starts here.
    pub new_position: Option<Link>,
    /// Position, own or carried on.
    pub position: Option<Link>,
    /// True if the person turns before it.
    pub turns: bool,
    /// Exposure, if it changes here.
    pub exposure: Option<String>,
    /// Dose.
    pub dose: Vec<DoseView>,
    /// Time it takes.
    pub takes: Option<String>,
    /// Ground of the dose.
    pub ground: GroundView,
    /// Measure, resisted action, joint angles, support.
    pub facts: Vec<Pair>,
    /// Measure.
    pub measure: Option<Link>,
    /// Joint angles on top of the position.
    pub joints: Vec<Pair>,
    /// What to watch: of the technique, then of the step.
    pub watch: Vec<String>,
    /// How often to look.
    pub watch_every: Option<String>,
    /// Words to the person.
    pub cue: Option<String>,
    /// What its heat or cold does to the skin.
    pub thermal: Option<ThermalView>,
    /// Stop rules, those of the technique first.
    pub stop: Vec<StopView>,
    /// What the muscle says of its point that the step treats: when to leave it.
    pub leave: Option<String>,
    /// The way to its point.
    pub landmark: Option<String>,
    /// What lies at its point.
    pub hazard: Option<String>,
    /// What to do if its technique goes wrong.
    pub if_wrong: Vec<String>,
    /// Success.
    pub success: Option<String>,
    /// Branch.
    pub then: Option<String>,
    /// The least time since the end of an earlier step.
    pub wait: Vec<String>,
    /// What it does to the length of the muscle.
    pub stretch: Option<StretchView>,
    /// Rows of the dossier behind its numbers.
    pub traces: Vec<Trace>,
    /// What conditions change of it, if it loads the body.
    pub altered: Changes,
}

/// A home item.
#[derive(Debug, Serialize)]
pub struct HomeView {
    /// Name.
    pub name: String,
    /// What the person does.
    pub action: String,
    /// Technique.
    pub technique: Option<Link>,
    /// Where.
    pub target: Option<String>,
    /// Dose.
    pub dose: Vec<DoseView>,
    /// What conditions change of it.
    pub altered: Changes,
    /// How often and for how long.
    pub often: Vec<Pair>,
    /// What its heat or cold does to the skin.
    pub thermal: Option<ThermalView>,
    /// Stop rules.
    pub stop: Vec<StopView>,
    /// First check.
    pub first_check: Option<String>,
    /// Joint angles.
    pub joints: Vec<Pair>,
    /// What it does to the length of the muscle.
    pub stretch: Option<StretchView>,
    /// Ground.
    pub ground: GroundView,
    /// Rows of the dossier behind its numbers.
    pub traces: Vec<Trace>,
}

/// Steps of a protocol.
pub fn steps(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<StepView> {
    let protocol = &site.catalog.protocols[idx];
    let facts = &site.facts.of(idx).steps;
    let mut views: Vec<StepView> = protocol.steps.iter().zip(facts).map(|(s, f)| step(site, idx, s, f)).collect();
    for pair in order::apart(site.catalog, facts) {
        let earlier = protocol.steps.get(pair.earlier).map(|s| s.number.value);
        let Some(((gap, earlier), view)) = pair.rule.gap.as_ref().zip(earlier).zip(views.get_mut(pair.later)) else { continue };
        view.wait.push(format!("at least {} after step {earlier} ends", gap.value.shown()));
    }
    let altered = Altered::of_protocol(site, idx);
    views.iter_mut().filter(|v| v.treats).for_each(|v| v.altered = altered.of(v.number));
    views
}

fn step(site: &Site<'_>, idx: Idx<Protocol>, s: &Step, f: &StepFacts) -> StepView {
    let technique = f.technique.map(|t| &site.catalog.techniques[t]);
    let position = |p| site.link(doc(Kind::Position, p));
    let mut stop = technique.map(|t| stops(&t.stop, false)).unwrap_or_default();
    add(&mut stop, stops(&s.stop, true));
    StepView {
        number: s.number.value,
        action: s.action.value.to_string(),
        technique: site.follow(Kind::Technique, &s.technique),
        treats: f.is_treatment(),
        asks: technique.is_some_and(|t| matches!(t.role, Role::Screening | Role::Consent | Role::Education)),
        target: target(&s.target),
        new_position: s.position.as_ref().and_then(|p| site.follow(Kind::Position, p)),
        position: f.position.map(position),
        turns: f.turns,
        exposure: text(&s.exposure),
        dose: words::dose(&s.dose, technique),
        takes: f.duration.map(|d| words::amount(crate::model::unit::Dim::Time, d, d.hi)),
        ground: site.ground(&s.ground),
        facts: facts(s),
        measure: s.measure.as_ref().and_then(|m| site.follow(Kind::Measure, m)),
        joints: position::joints(&s.joints),
        watch: [technique.and_then(|t| text(&t.monitoring)), text(&s.monitoring)].into_iter().flatten().collect(),
        watch_every: technique.and_then(|t| t.monitoring_every.as_ref()).map(|q| q.value.shown()),
        cue: technique.and_then(cue),
        thermal: thermal_view(site, idx, f),
        stop,
        leave: point(site, idx, s).and_then(|p| text(&p.stop)),
        landmark: point(site, idx, s).map(crate::plan::view::muscle::landmark),
        hazard: point(site, idx, s).and_then(|p| text(&p.hazard)),
        if_wrong: technique.map(|t| t.if_wrong.value.to_string()).filter(|t| !t.is_empty()).into_iter().collect(),
        success: text(&s.success),
        then: s.then.as_ref().map(branch),
        wait: Vec::new(),
        stretch: f.stretch.as_ref().map(|x| stretch(site, x)),
        traces: trace::under(site, doc(Kind::Protocol, idx), &format!("steps/{}", s.number.value), f.technique),
        altered: Changes::default(),
    }
}

fn thermal_view(site: &Site<'_>, idx: Idx<Protocol>, f: &StepFacts) -> Option<ThermalView> {
    let numb = f.load(Stressor::Cold).and_then(|l| l.numbs_for);
    f.thermal.as_ref().map(|t| thermal::view(t, numb, house(site, idx)))
}

/// House numbers about heat and cold of a protocol's pack.
fn house<'a>(site: &Site<'a>, idx: Idx<Protocol>) -> &'a HouseThermal {
    &site.catalog.packs[site.catalog.protocols[idx].head.pack].thermal
}

fn cue(technique: &Technique) -> Option<String> {
    technique.manner.iter().find(|(label, _)| *label == "Words to the person").map(|(_, t)| t.value.to_string())
}

fn facts(s: &Step) -> Vec<Pair> {
    let all = [("When", text(&s.when)), ("Resisted action", s.resists.as_ref().map(|r| r.value.shown())), ("Support", text(&s.support))];
    all.into_iter().filter_map(|(label, t)| t.map(|text| Pair { label: label.into(), text })).collect()
}

/// The point that a step treats.
fn point<'a>(site: &Site<'a>, idx: Idx<Protocol>, s: &Step) -> Option<&'a Point> {
    let (muscle, number) = (site.catalog.protocols[idx].muscle.to?, s.target.point.as_ref()?.value);
    site.catalog.muscles[muscle].points.iter().find(|p| p.number.value == number)
}

/// Where a step acts, in words.
pub fn target(t: &Target) -> Option<String> {
    let mut parts = Vec::new();
    if let Some(point) = &t.point {
        parts.push(format!("point {}", point.value));
    }
    if t.muscle {
        parts.push("the whole muscle".to_string());
    }
    parts.extend(places(&t.regions.all));
    (!parts.is_empty()).then(|| parts.join(", "))
}

fn branch(b: &Branch) -> String {
    let mut out = text(&b.when).map(|w| format!("If {w}: ")).unwrap_or_default();
    out += &text(&b.go).unwrap_or_default();
    if let Some(up_to) = &b.up_to {
        out += &format!(" (at most {})", up_to.value.shown());
    }
    out
}

/// Home items of a protocol.
pub fn home(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<HomeView> {
    let protocol = &site.catalog.protocols[idx];
    let altered = Altered::of_home(site, idx);
    let items = (1..).zip(protocol.home.iter().zip(&site.facts.of(idx).home));
    items.map(|(number, (item, f))| HomeView { altered: altered.of(number), ..home_item(site, idx, item, f) }).collect()
}

/// A number of times a day in words.
fn times_a_day(shown: String) -> String {
    match shown.strip_suffix("/day") {
        Some("1") => "once a day".into(),
        Some(n) => format!("{n} times a day"),
        None => shown,
    }
}

/// Adds the rules of a step to those of its technique, the same rule once.
fn add(stop: &mut Vec<StopView>, own: Vec<StopView>) {
    for rule in own {
        let same = |r: &StopView| (&r.sign, &r.at, &r.act, &r.then) == (&rule.sign, &rule.at, &rule.act, &rule.then);
        if !stop.iter().any(same) {
            stop.push(rule);
        }
    }
}

fn home_item(site: &Site<'_>, idx: Idx<Protocol>, item: &HomeItem, f: &StepFacts) -> HomeView {
    let technique = item.technique.to.map(|t| &site.catalog.techniques[t]);
    let mut stop = technique.map(|t| stops(&t.stop, false)).unwrap_or_default();
    add(&mut stop, stops(&item.stop, true));
    let often = [("how often", &item.per_day), ("on", &item.days), ("for", &item.weeks)];
    HomeView {
        name: item.name.value.to_string(),
        action: item.action.value.to_string(),
        technique: site.follow(Kind::Technique, &item.technique),
        target: target(&item.target),
        dose: words::dose(&item.dose, technique),
        altered: Changes::default(),
        often: often
            .into_iter()
            .filter_map(|(label, q)| q.as_ref().map(|q| Pair { label: label.into(), text: times_a_day(q.value.shown()) }))
            .collect(),
        thermal: thermal_view(site, idx, f),
        stop,
        first_check: text(&item.first_check),
        joints: position::joints(&item.joints),
        stretch: f.stretch.as_ref().map(|x| stretch(site, x)),
        ground: site.ground(&item.ground),
        traces: trace::under(site, doc(Kind::Protocol, idx), &home_path(item), f.technique),
    }
}

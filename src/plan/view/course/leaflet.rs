//! The leaflet of a protocol: the words of the pack for the person, with the doses of the page, and when to get help.

use crate::compute::steps::StepFacts;
use crate::model::Idx;
use crate::model::Kind;
use crate::model::docs::Protocol;
use crate::model::vocabulary::Role;
use crate::plan::site::{Site, doc, text, texts};
use crate::plan::view::parts::{DoseView, Frame, Link, Mark, Pair, Prose, StopView};
use crate::plan::view::protocol::steps::{self, HomeView};
use crate::plan::view::protocol::stop;
use crate::plan::words;
use serde::Serialize;

/// View of `leaflet.html`.
#[derive(Debug, Serialize)]
pub struct LeafletPage {
    /// Frame.
    pub frame: Frame,
    /// The protocol.
    pub protocol: Link,
    /// The words of the pack.
    pub words: Prose,
    /// What was done.
    pub done: Vec<Done>,
    /// What to do at home.
    pub home: Vec<AtHome>,
    /// After-effects that were expected of each technique, with their length.
    pub normal: Vec<Pair>,
    /// After-care.
    pub aftercare: Vec<String>,
    /// When to get help, most urgent first.
    pub help: Vec<Help>,
}

/// A step that was done.
#[derive(Debug, Serialize)]
pub struct Done {
    /// What.
    pub what: String,
    /// How much.
    pub dose: Vec<DoseView>,
}

/// A home item.
#[derive(Debug, Serialize)]
pub struct AtHome {
    /// Name.
    pub name: String,
    /// What to do.
    pub action: String,
    /// How much.
    pub dose: Vec<DoseView>,
    /// How often and for how long: a word before it, and the amount.
    pub often: Vec<(&'static str, String)>,
    /// When to stop, and what to do then.
    pub stop: Vec<Pair>,
}

/// Where to get help and how soon.
#[derive(Debug, Serialize)]
pub struct Help {
    /// Urgency with its shape.
    pub urgency: Mark,
    /// Clock.
    pub clock: &'static str,
    /// Destination.
    pub destination: String,
    /// What to look out for: id of the red flag and its words.
    pub signs: Vec<(String, String)>,
}

/// The leaflet of a protocol; `None` if the pack has no text for one.
pub fn leaflet(site: &Site<'_>, idx: Idx<Protocol>) -> Option<LeafletPage> {
    let p = &site.catalog.protocols[idx];
    let own = doc(Kind::Protocol, idx);
    let text = site.maybe_prose(&p.leaflet, 1)?;
    let mut frame = super::under_course(site, site.doc_frame(own));
    frame.title = format!("Leaflet: {}", frame.title);
    // Taking a measure is no treatment.
    let measures = |f: &StepFacts| f.technique.is_some_and(|t| site.catalog.techniques[t].role == Role::Measurement);
    let treating = steps::steps(site, idx).into_iter().zip(&site.facts.of(idx).steps).filter(|(s, f)| s.treats && !measures(f));
    let done = treating.map(|(s, _)| Done { what: s.action, dose: s.dose }).collect();
    let home = steps::home(site, idx).into_iter().map(at_home);
    Some(LeafletPage {
        protocol: site.link(own),
        words: text,
        done,
        home: home.collect(),
        normal: normal(site, idx),
        aftercare: texts(&p.aftercare),
        help: help(site, idx),
        frame,
    })
}

fn at_home(h: HomeView) -> AtHome {
    // "1/day" and "5 days a week" say by themselves what they are.
    let often = h.often.into_iter().map(|o| (if o.label == "for" { "for" } else { "" }, o.text)).collect();
    AtHome { name: h.name, action: h.action, dose: h.dose, often, stop: stop_rules(&h.stop) }
}

/// Stop rules in plain words, each once: where the record of a visit would end is no matter at home.
fn stop_rules(rules: &[StopView]) -> Vec<Pair> {
    let mut out: Vec<Pair> = Vec::new();
    for r in rules {
        let at = r.at.as_ref().map(|a| format!(" ({a})")).unwrap_or_default();
        let (label, text) = (words::capital(&r.sign) + &at, r.act.clone().unwrap_or_else(|| "stop".into()));
        if !out.iter().any(|p| p.label == label && p.text == text) {
            out.push(Pair { label, text });
        }
    }
    out
}

/// What each technique that loads the body is expected to leave behind. What several share is said once.
fn normal(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<Pair> {
    let facts = site.facts.of(idx);
    let mut out: Vec<Pair> = Vec::new();
    for step in facts.steps.iter().chain(&facts.home).filter(|s| s.is_treatment()) {
        let Some(technique) = step.technique.map(|t| &site.catalog.techniques[t]) else { continue };
        let Some(words) = text(&technique.after_effects) else { continue };
        // Of a measurement what it leaves behind, and not that it leaves nothing.
        if technique.role == Role::Measurement && words.trim_end_matches('.').eq_ignore_ascii_case("none") {
            continue;
        }
        let lasts = technique.after_effects_last.as_ref().map(|q| format!(" It lasts {}.", q.value.shown())).unwrap_or_default();
        let (name, said) = (technique.name.value.to_string(), words + &lasts);
        match out.iter_mut().find(|p| p.text == said) {
            Some(known) if known.label.split(", ").any(|n| n == name) => {}
            Some(known) => known.label = format!("{}, {name}", known.label),
            None => out.push(Pair { label: name, text: said }),
        }
    }
    out
}

/// Every red flag of the protocol in the words that are for the person.
fn help(site: &Site<'_>, idx: Idx<Protocol>) -> Vec<Help> {
    let plain = |f: crate::plan::view::parts::FlagView| {
        let words = f.safety_net.unwrap_or(f.question);
        (f.id, words)
    };
    let group = |g: crate::plan::view::parts::FlagGroup| Help {
        urgency: g.urgency,
        clock: g.clock,
        destination: g.destination,
        signs: g.flags.into_iter().map(plain).collect(),
    };
    stop::flag_groups(stop::flags(site, idx)).into_iter().map(group).collect()
}

//! A muscle and its points.

use super::parts::{Frame, GroundView, Link, LinkGroup, Pair, Prose};
use super::sources::{SourceLine, cited_by};
use super::stretch::{self, MechanicsPart};
use crate::compute::measurement::sign;
use crate::model::docs::{Muscle, Point, Reliability, Sign, Zone};
use crate::model::{Idx, Kind};
use crate::plan::site::{Site, doc, places, text, texts};
use crate::plan::words;
use serde::Serialize;

/// Label of the region of a point.
pub const REGION: &str = "Region";

/// View of `muscle.html`.
#[derive(Debug, Serialize)]
pub struct MusclePage {
    /// Frame.
    pub frame: Frame,
    /// Latin name.
    pub latin: String,
    /// Other names.
    pub other_names: Vec<String>,
    /// Skin over it.
    pub regions: Vec<String>,
    /// Attachments.
    pub attachments: Vec<AttachmentView>,
    /// Actions.
    pub actions: Vec<ActionView>,
    /// Joints crossed.
    pub joints: Vec<String>,
    /// Nerve and segments.
    pub nerve: Option<Grounded>,
    /// Fibre direction.
    pub fibres: Option<Grounded>,
    /// Layer.
    pub layer: Option<String>,
    /// Neighbours.
    pub neighbours: Vec<NeighbourView>,
    /// Hazards near it.
    pub hazards: Vec<HazardView>,
    /// Chart.
    pub chart: Option<super::chart::ChartView>,
    /// Muscles whose zones look alike, and how to tell them apart.
    pub look_alikes: Vec<(Link, String)>,
    /// Pages on which it stands beside another.
    pub beside: Vec<Link>,
    /// Palpation.
    pub palpation: PalpationView,
    /// Points.
    pub points: Vec<PointView>,
    /// Protocols for it.
    pub protocols: Vec<Link>,
    /// Moment arms by part.
    pub mechanics: Vec<MechanicsPart>,
    /// Formula in words.
    pub formula: &'static str,
    /// Limits of the model.
    pub limits: &'static [&'static str],
    /// Notes.
    pub notes: Option<Prose>,
    /// Sources that it cites.
    pub sources: Vec<SourceLine>,
    /// Who refers here.
    pub used_by: Vec<LinkGroup>,
}

/// A text and what it rests on.
#[derive(Debug, Serialize)]
pub struct Grounded {
    /// Text.
    pub text: String,
    /// Ground.
    pub ground: GroundView,
}

/// An attachment.
#[derive(Debug, Serialize)]
pub struct AttachmentView {
    /// End.
    pub end: &'static str,
    /// In words.
    pub text: String,
    /// Landmarks.
    pub landmarks: Vec<String>,
    /// Ground.
    pub ground: GroundView,
}

/// An action.
#[derive(Debug, Serialize)]
pub struct ActionView {
    /// Movement.
    pub motion: String,
    /// Note.
    pub note: Option<String>,
    /// Ground.
    pub ground: GroundView,
}

/// A neighbour.
#[derive(Debug, Serialize)]
pub struct NeighbourView {
    /// Name.
    pub name: String,
    /// Its page.
    pub link: Option<Link>,
    /// How to tell them apart.
    pub tell_apart: String,
}

/// A hazard.
#[derive(Debug, Clone, Serialize)]
pub struct HazardView {
    /// Text.
    pub text: String,
    /// Where.
    pub places: Vec<String>,
    /// Ground.
    pub ground: GroundView,
    /// Source in words, for hazards of the region list.
    pub report: Option<String>,
}

/// How the muscle is palpated.
#[derive(Debug, Serialize)]
pub struct PalpationView {
    /// Method, position, how to make it stand out, what normal feels like.
    pub facts: Vec<Pair>,
    /// Position.
    pub position: Option<Link>,
    /// Ground.
    pub ground: GroundView,
}

/// A point.
#[derive(Debug, Serialize)]
pub struct PointView {
    /// Number in its ring.
    pub number: u32,
    /// Where to look first, in a sentence.
    pub landmark: String,
    /// Region, grip, pressure.
    pub facts: Vec<Pair>,
    /// Signs.
    pub signs: Vec<SignView>,
    /// Zone in a sentence.
    pub zone: Option<Grounded>,
    /// Hazard.
    pub hazard: Option<String>,
    /// Leave at once if.
    pub stop: Option<String>,
}

/// A sign.
#[derive(Debug, Serialize)]
pub struct SignView {
    /// Sign.
    pub sign: String,
    /// Note.
    pub note: Option<String>,
    /// How far examiners agree on it: in words with the numbers, in whom, and its ground.
    pub reliability: Vec<AgreementView>,
    /// Ground.
    pub ground: GroundView,
}

/// Agreement of examiners on a sign.
#[derive(Debug, Serialize)]
pub struct AgreementView {
    /// In words, with the numbers.
    pub words: String,
    /// In whom, with site and note.
    pub people: String,
    /// Ground.
    pub ground: GroundView,
}

impl MusclePage {
    /// Shows a muscle.
    pub fn new(site: &Site<'_>, idx: Idx<Muscle>) -> MusclePage {
        let m = &site.catalog.muscles[idx];
        let own = doc(Kind::Muscle, idx);
        let treats = |(_, p): &(_, &crate::model::docs::Protocol)| p.muscle.to == Some(idx);
        MusclePage {
            frame: site.doc_frame(own),
            latin: m.latin.value.to_string(),
            other_names: texts(&m.other_names),
            regions: places(&m.regions.all),
            attachments: attachments(site, m),
            actions: actions(site, m),
            joints: texts(&m.joints),
            nerve: nerve(site, m),
            fibres: text(&m.fibres).map(|text| Grounded { text, ground: site.ground(&m.fibres_ground) }),
            layer: text(&m.layer),
            neighbours: neighbours(site, m),
            hazards: hazards(site, m),
            chart: super::chart::of_muscle(site, idx),
            look_alikes: super::chart::look_alikes(site, idx),
            beside: super::course::beside(site, idx),
            palpation: palpation(site, m),
            points: m.points.iter().map(|p| point(site, p)).collect(),
            protocols: site.catalog.protocols.iter().filter(treats).map(|(p, _)| site.link(doc(Kind::Protocol, p))).collect(),
            mechanics: stretch::mechanics(site, m),
            formula: stretch::FORMULA,
            limits: &stretch::LIMITS,
            notes: site.maybe_prose(&m.notes, 1),
            sources: cited_by(site, &[own]),
            used_by: site.used_by(own),
        }
    }
}

fn attachments(site: &Site<'_>, m: &Muscle) -> Vec<AttachmentView> {
    let view = |a: &crate::model::docs::Attachment| AttachmentView {
        end: a.end,
        text: a.text.value.to_string(),
        landmarks: texts(&a.landmarks),
        ground: site.ground(&a.ground),
    };
    m.attachments.iter().map(view).collect()
}

fn actions(site: &Site<'_>, m: &Muscle) -> Vec<ActionView> {
    let view = |a: &crate::model::docs::Action| {
        let motion = a.motion.as_ref()?.value.shown();
        Some(ActionView { motion: words::capital(&motion), note: text(&a.note), ground: site.ground(&a.ground) })
    };
    m.actions.iter().filter_map(view).collect()
}

fn nerve(site: &Site<'_>, m: &Muscle) -> Option<Grounded> {
    let name = text(&m.nerve)?;
    let segments = texts(&m.segments).join(", ");
    let text = if segments.is_empty() { name } else { format!("{name} ({segments})") };
    Some(Grounded { text, ground: site.ground(&m.nerve_ground) })
}

fn neighbours(site: &Site<'_>, m: &Muscle) -> Vec<NeighbourView> {
    let view = |n: &crate::model::docs::Neighbour| NeighbourView {
        name: n.name.value.to_string(),
        link: n.muscle.as_ref().and_then(|r| site.follow(Kind::Muscle, r)),
        tell_apart: n.tell_apart.value.to_string(),
    };
    m.neighbours.iter().map(view).collect()
}

/// Hazards near a muscle.
pub fn hazards(site: &Site<'_>, m: &Muscle) -> Vec<HazardView> {
    let view = |h: &crate::model::docs::NearHazard| HazardView {
        text: h.text.value.to_string(),
        places: places(&h.regions.all),
        ground: site.ground(&h.ground),
        report: None,
    };
    m.hazards.iter().map(view).collect()
}

fn palpation(site: &Site<'_>, m: &Muscle) -> PalpationView {
    let p = &m.palpation;
    let all = [
        ("Method", text(&p.method)),
        ("Make it stand out", text(&p.stand_out)),
        ("Resisted action", p.resists.as_ref().map(|r| r.value.shown())),
        ("Normal feels like", text(&p.normal)),
    ];
    PalpationView {
        facts: all.into_iter().filter_map(|(label, t)| t.map(|text| Pair { label: label.into(), text })).collect(),
        position: p.position.as_ref().and_then(|r| site.follow(Kind::Position, r)),
        ground: site.ground(&p.ground),
    }
}

/// A point for people.
pub fn point(site: &Site<'_>, p: &Point) -> PointView {
    let facts = [
        (REGION, Some(places(&p.region.all).join(", ")).filter(|t| !t.is_empty())),
        ("Grip", text(&p.grip)),
        ("Pressure", text(&p.pressure)),
    ];
    let sign = |s: &Sign| SignView {
        sign: s.sign.value.to_string(),
        note: text(&s.note),
        reliability: s.reliability.iter().filter_map(|r| agreement(site, r)).collect(),
        ground: site.ground(&s.ground),
    };
    PointView {
        number: p.number.value,
        landmark: landmark(p),
        facts: facts.into_iter().filter_map(|(label, t)| t.map(|text| Pair { label: label.into(), text })).collect(),
        signs: p.confirms.iter().map(sign).collect(),
        zone: p.zone.as_ref().map(|z| Grounded { text: zone(z), ground: site.ground(&z.ground) }),
        hazard: text(&p.hazard),
        stop: text(&p.stop),
    }
}

fn agreement(site: &Site<'_>, r: &Reliability) -> Option<AgreementView> {
    let people = [Some(r.population.value.to_string()), text(&r.site), text(&r.note)];
    Some(AgreementView {
        words: sign::sentence(r.kind, r.value.as_ref()?.value, r.interval.as_ref().map(|i| i.value), r.rater),
        people: format!("In {}", people.into_iter().flatten().collect::<Vec<_>>().join("; ")).trim_end_matches('.').to_string(),
        ground: site.ground(&r.ground),
    })
}

/// Landmark wording in one sentence.
pub fn landmark(p: &Point) -> String {
    let mut parts = Vec::new();
    if let Some(from) = text(&p.from) {
        parts.push(format!("from the {}", from.trim_start_matches("the ")));
    }
    if let Some(distance) = &p.distance {
        parts.push(distance.value.shown());
    }
    parts.extend(text(&p.direction));
    parts.extend(text(&p.depth));
    words::capital(&parts.join(", "))
}

/// A pain zone in a sentence.
pub fn zone(z: &Zone) -> String {
    let core = places(&z.core.all).join(", ");
    let spread = places(&z.spread.all).join(", ");
    let mut out = format!("Pain may be felt at the core of the zone: {core}");
    if !spread.is_empty() {
        out += &format!("; it may spread to: {spread}");
    }
    out += ".";
    if let Some(share) = text(&z.share) {
        out += &format!(" Share of people who show it: {share}.");
    }
    out
}

//! Muscles with their palpation points and zones.

use super::Reader;
use crate::model::docs::{Action, Attachment, Head, Muscle, NearHazard, Neighbour, Palpation, Point, Sign, Zone};
use crate::model::unit::Dim;
use crate::source::{Node, Spanned};

pub(super) fn muscle(r: &mut Reader<'_>, n: &Node, head: Head) -> Muscle {
    let nerve = n.get("nerve");
    let fibres = n.get("fibres");
    Muscle {
        name: r.text(n, "name"),
        latin: r.text(n, "latin"),
        other_names: r.texts(n, "other-names"),
        misspellings: r.texts(n, "misspellings"),
        regions: r.places(n, "regions"),
        attachments: attachments(r, n),
        actions: actions(r, n),
        joints: r.texts(n, "joints"),
        nerve: nerve.and_then(|x| r.maybe(x, "name")),
        segments: nerve.map(|x| r.texts(x, "segments")).unwrap_or_default(),
        nerve_ground: nerve.map(|x| r.ground(x)).unwrap_or_default(),
        fibres: fibres.and_then(|x| r.maybe(x, "text")),
        fibres_ground: fibres.map(|x| r.ground(x)).unwrap_or_default(),
        layer: r.maybe(n, "layer"),
        neighbours: r
            .items(n, "neighbours")
            .iter()
            .map(|x| Neighbour { name: r.text(x, "name"), muscle: r.maybe_reference(x, "muscle"), tell_apart: r.text(x, "tell-apart") })
            .collect(),
        hazards: hazards(r, n),
        palpation: palpation(r, n),
        points: points(r, n),
        chart: super::chart::muscle(r, n),
        look_alikes: super::chart::look_alikes(r, n),
        mechanics: super::mechanics::parts(r, n),
        notes: r.maybe(n, "notes"),
        head,
    }
}

fn attachments(r: &Reader<'_>, n: &Node) -> Vec<Attachment> {
    let Some(both) = n.get("attachments") else { return Vec::new() };
    ["proximal", "distal"]
        .into_iter()
        .filter_map(|end| {
            let x = both.get(end)?;
            Some(Attachment { end, text: r.text(x, "text"), landmarks: r.texts(x, "landmarks"), ground: r.ground(x) })
        })
        .collect()
}

fn actions(r: &mut Reader<'_>, n: &Node) -> Vec<Action> {
    let mut out = Vec::new();
    for x in r.items(n, "actions") {
        let motion = r.motion(x, "motion");
        out.push(Action { motion, note: r.maybe(x, "note"), ground: r.ground(x), span: x.span });
    }
    out
}

fn hazards(r: &mut Reader<'_>, n: &Node) -> Vec<NearHazard> {
    let mut out = Vec::new();
    for x in r.items(n, "hazards") {
        let regions = r.places(x, "regions");
        out.push(NearHazard { text: r.text(x, "text"), regions, ground: r.ground(x), span: x.span });
    }
    out
}

fn palpation(r: &mut Reader<'_>, n: &Node) -> Palpation {
    let Some(x) = n.get("palpation") else { return Palpation::default() };
    Palpation {
        method: r.maybe(x, "method"),
        position: r.maybe_reference(x, "position"),
        stand_out: r.maybe(x, "stand-out"),
        resists: r.motion(x, "resists"),
        normal: r.maybe(x, "normal"),
        ground: r.ground(x),
    }
}

fn points(r: &mut Reader<'_>, n: &Node) -> Vec<Point> {
    let mut out = Vec::new();
    for x in r.items(n, "points") {
        let number = r.count(x, "number").unwrap_or(Spanned::new(0, x.span));
        let landmark = x.get("landmark");
        let words = |key: &str| landmark.and_then(|l| r.maybe(l, key));
        let (from, direction, depth) = (words("from"), words("direction"), words("depth"));
        out.push(Point {
            from,
            direction,
            depth,
            distance: landmark.and_then(|l| r.amount_in(l, "distance", &[Dim::Fingers, Dim::Length])),
            region: r.places(x, "region"),
            chart: super::chart::point(r, x),
            grip: r.maybe(x, "grip"),
            pressure: r.maybe(x, "pressure"),
            confirms: signs(r, x),
            zone: zone(r, x),
            hazard: r.maybe(x, "hazard"),
            stop: r.maybe(x, "stop"),
            landmark_at: landmark.map_or(number.span, |l| l.span),
            number,
        });
    }
    out
}

fn signs(r: &mut Reader<'_>, point: &Node) -> Vec<Sign> {
    let mut out = Vec::new();
    for x in r.items(point, "confirms") {
        let reliability = super::measure::reliability(r, x);
        out.push(Sign { sign: r.text(x, "sign"), note: r.maybe(x, "note"), reliability, ground: r.ground(x) });
    }
    out
}

fn zone(r: &mut Reader<'_>, point: &Node) -> Option<Zone> {
    let (key, x) = point.entry("zone")?;
    Some(Zone {
        core: r.places(x, "core"),
        spread: r.places(x, "spread"),
        drawn: super::chart::zone(r, x),
        share: r.maybe(x, "share"),
        ground: r.ground(x),
        span: key.span,
    })
}

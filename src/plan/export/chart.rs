//! What is drawn on the body chart, and what follows from it. Coordinates and lengths in cm on the chart, of a
//! person of the chart's height; areas as shares from 0 to 1.

use super::values::{ground, id, number, places};
use crate::compute::chart::sweep::{SweepFacts, Touched};
use crate::model::chart::{Line, Outline, Point2};
use crate::model::docs::{Course, Muscle, Point, StepSweep, SweepRule, Zone};
use crate::model::{Catalog, Kind};
use crate::source::Spanned;
use serde_json::{Value, json};

const UNIT: &str = "cm";

fn points(points: &[Spanned<Point2>]) -> Value {
    points.iter().map(|p| json!([number(p.value.x), number(p.value.y)])).collect()
}

fn lines(all: &[Line]) -> Value {
    all.iter().map(|l| points(&l.points)).collect()
}

fn outlines(all: &[Outline]) -> Value {
    all.iter().map(|o| points(&o.points)).collect()
}

/// Drawings of a muscle.
pub(super) fn muscle(catalog: &Catalog, muscle: &Muscle) -> Value {
    let one = |d: &crate::model::docs::MuscleDrawing| {
        json!({
            "view": d.view.value.word(), "unit": UNIT, "outline": d.outline.as_ref().map(|o| points(&o.points)),
            "attachments": {"proximal": lines(&d.proximal), "distal": lines(&d.distal)}, "fibres": lines(&d.fibres),
            "ground": ground(catalog, &d.ground),
        })
    };
    muscle.chart.iter().map(one).collect()
}

/// Marks of a point; the radius in mm.
pub(super) fn marks(point: &Point) -> Value {
    let mark = |m: &crate::model::docs::PointMark| {
        let at = m.at.value;
        json!({"view": m.view.value.word(), "unit": UNIT, "at": [number(at.x), number(at.y)], "radius_mm": number((m.radius() * 1e4).round() / 1e3)})
    };
    point.chart.iter().map(mark).collect()
}

/// Drawings of a zone.
pub(super) fn zone(zone: &Zone) -> Value {
    let one = |d: &crate::model::docs::ZoneDrawing| json!({"view": d.view.value.word(), "unit": UNIT, "core": outlines(&d.core), "spread": outlines(&d.spread)});
    zone.drawn.iter().map(one).collect()
}

/// Muscles that are named as looking alike.
pub(super) fn look_alikes(catalog: &Catalog, muscle: &Muscle) -> Value {
    let one =
        |l: &crate::model::docs::LookAlike| json!({"muscle": id(catalog, Kind::Muscle, &l.muscle), "tell_apart": *l.tell_apart.value});
    muscle.look_alikes.iter().map(one).collect()
}

/// How a technique moves over the skin.
pub(super) fn rule(catalog: &Catalog, rule: &Option<SweepRule>) -> Value {
    let one = |r: &SweepRule| {
        let along = if r.along.value == Course::Along { "fibres" } else { "across" };
        json!({"from": r.from.value.word(), "along": along, "ground": ground(catalog, &r.ground)})
    };
    rule.as_ref().map_or(Value::Null, one)
}

/// The sweep of a step with what was computed of it.
pub(super) fn sweep(sweep: &Option<StepSweep>, facts: Option<&SweepFacts>) -> Value {
    let Some(s) = sweep else { return Value::Null };
    let path = |p: &crate::model::docs::SweepPath| json!({"view": p.view.value.word(), "path": points(&p.path.points)});
    let left = |l: &crate::model::docs::LeftOut| json!({"regions": places(&l.region.all), "why": *l.why.value});
    json!({
        "from": s.from.as_ref().map(|f| f.value.word()), "unit": UNIT, "paths": s.paths.iter().map(path).collect::<Vec<_>>(),
        "leaves_out": s.leaves_out.iter().map(left).collect::<Vec<_>>(), "computed": facts.map(computed),
    })
}

fn computed(f: &SweepFacts) -> Value {
    let touched = |t: &Touched| json!({"place": t.place.map(|p| places(&[p])), "share": number(t.share)});
    json!({
        "width_cm": number(f.width),
        "lines": f.paths.iter().map(|p| json!({"view": p.view.word(), "length_cm": number(p.length), "degrees_to_fibres": p.angle.map(number)})).collect::<Vec<_>>(),
        "touches": places(&f.places), "core_share": f.core_share().map(number), "spread_share": f.spread_share().map(number),
        "core": f.core.iter().map(touched).collect::<Vec<_>>(), "spread": f.spread.iter().map(touched).collect::<Vec<_>>(),
        "points": f.points.iter().map(|(n, hit)| json!({"number": n, "through": hit})).collect::<Vec<_>>(),
    })
}

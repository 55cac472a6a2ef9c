//! Moment arms of muscles and computed stretches. Lengths in mm, angles in degrees.

use super::values::{ground, number, text};
use crate::compute::mechanics::facts::{Listed, PartStretch, Stretch};
use crate::compute::mechanics::{Verdict, rank::Ranked};
use crate::model::docs::{Muscle, MusclePart};
use crate::model::{Catalog, Kind};
use crate::plan::site::doc;
use serde_json::{Value, json};

/// Moment arms of a muscle as written.
pub(super) fn tables(catalog: &Catalog, muscle: &Muscle) -> Value {
    let one = |p: &MusclePart| {
        let arm = |a: &crate::model::docs::JointArm| {
            let points =
                a.points.iter().map(|(degrees, mm)| json!({"degrees": number(*degrees), "arm_mm": number(*mm)})).collect::<Vec<_>>();
            json!({"coordinate": a.joint.id, "positive": a.joint.positive, "constant": a.points.len() == 1, "arms": points})
        };
        let coupling = |c: &crate::model::docs::JointCoupling| json!({"between": [c.between.0.id, c.between.1.id], "mm_per_rad": number(c.mm_per_rad)});
        json!({
            "part": *p.name.value, "arms": p.arms.iter().map(arm).collect::<Vec<_>>(),
            "couplings": p.couplings.iter().map(coupling).collect::<Vec<_>>(),
            "optimal_fibre_mm": p.fibre.as_ref().map(|f| number(f.value)), "error_mm": p.error.as_ref().map(|e| number(e.value)),
            "ground": ground(catalog, &p.ground),
        })
    };
    muscle.mechanics.iter().map(one).collect()
}

/// What a step does to the length of its muscle.
pub(super) fn stretch(catalog: &Catalog, stretch: Option<&Stretch>) -> Value {
    let Some(s) = stretch else { return Value::Null };
    let muscle = &catalog.muscles[s.muscle];
    let placed = |p: &crate::compute::mechanics::Placed| json!({"coordinate": p.joint.id, "degrees": number(p.degrees), "from": if p.carried { "position" } else { "here" }});
    json!({
        "muscle": catalog.id(doc(Kind::Muscle, s.muscle)), "verdict": s.verdict().word(),
        "angles": s.placed.iter().map(placed).collect::<Vec<_>>(),
        "parts": s.parts.iter().map(|p| part(catalog, muscle, p)).collect::<Vec<_>>(),
        "without_arm": s.without_arm.iter().map(|j| j.id).collect::<Vec<_>>(),
    })
}

fn part(catalog: &Catalog, muscle: &Muscle, p: &PartStretch) -> Value {
    let ranked = |r: &Ranked<Listed>| {
        let position = match r.key {
            Listed::Position(idx) => Some(catalog.id(doc(Kind::Position, idx)).to_string()),
            Listed::Here => None,
        };
        json!({
            "position": position, "length_change_mm": number(r.mm), "percent_of_optimal_fibre": r.percent_of_fibre.map(number),
            "percent_of_best": r.percent_of_best.map(number), "verdict": r.verdict.word(),
        })
    };
    let loose = |l: &crate::compute::mechanics::Loose| json!({"coordinate": l.joint.id, "best_degrees": number(l.angle.to_degrees()), "gain_mm": number(l.gain), "against": l.against});
    json!({
        "part": muscle.mechanics.get(p.row).map(|m| text(&Some(m.name.clone()))), "length_change_mm": number(p.change.total),
        "by_joint_mm": p.change.by_joint.iter().map(|(j, mm)| (j.id.to_string(), number(*mm))).collect::<serde_json::Map<_, _>>(),
        "coupling_mm": number(p.change.coupling), "error_mm": number(p.part.error()),
        "percent_of_optimal_fibre": p.percent_of_fibre.map(number), "percent_of_best": p.percent_of_best().map(number),
        "verdict": p.verdict.word(), "longest_in_neutral": p.verdict == Verdict::LongestInNeutral,
        "beyond_table": p.beyond_table.iter().map(|j| j.id).collect::<Vec<_>>(),
        "ranked": p.ranked.iter().map(ranked).collect::<Vec<_>>(), "left_loose": p.loose.iter().map(loose).collect::<Vec<_>>(),
    })
}

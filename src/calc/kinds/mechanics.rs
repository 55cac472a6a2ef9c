//! `pressure`, `stretch`, `moment-arm`.

use super::Kind;
use crate::calc::inputs::Inputs;
use crate::calc::outcome::{Outcome, number};
use crate::calc::rule::rule;
use crate::compute::convert::{Scale, Sense, convert, named};
use crate::compute::mechanics::stretch::Joint;
use crate::compute::mechanics::{Arm, ArmError, Contact, Coupling, Part, PartError, Posture, PressureError};
use crate::model::motion::{COORDINATES, coordinate};
use crate::model::nearest;
use crate::source::Text;
use serde_json::{Map, Value};

const STRETCH: &[&str] = &["arms", "couplings", "angles_deg", "optimal_fibre_mm", "error_mm"];

/// The kinds.
pub static KINDS: &[Kind] = &[
    Kind {
        name: "pressure",
        summary: "two of force, contact area and pressure give the third",
        keys: &["force_N", "area_m2", "pressure_Pa"],
        run: pressure,
    },
    Kind {
        name: "stretch",
        summary: "length change of a muscle part in a posture, by joint, with its verdict",
        keys: STRETCH,
        run: stretch,
    },
    Kind {
        name: "moment-arm",
        summary: "moment arm of each joint of a muscle part in a posture",
        keys: &["arms", "couplings", "angles_deg"],
        run: moment_arm,
    },
];

fn pressure(inputs: &Inputs<'_>) -> Option<Outcome> {
    let (force, area, pressure) = (inputs.maybe("force_N"), inputs.maybe("area_m2"), inputs.maybe("pressure_Pa"));
    let (force, area, pressure) = (force?, area?, pressure?);
    let contact = match (force, area, pressure) {
        (Some(force), Some(area), None) => Contact::of_force(force, area),
        (None, Some(area), Some(pressure)) => Contact::of_pressure(pressure, area),
        (Some(force), None, Some(pressure)) => Contact::of_both(force, pressure),
        (Some(_), Some(_), Some(_)) => {
            return inputs.refuse("pressure_Pa", "the third", "force, area and pressure are all given", "leave out the one that is wanted");
        }
        _ => {
            return inputs.incomplete("two of force, area and pressure are needed", "add for instance `force: 20 N` and `area: 1 cm2`");
        }
    };
    match contact {
        Ok(contact) => told(contact),
        Err(error) => {
            let key = match error {
                PressureError::Area if area.is_some() => "area_m2",
                PressureError::Area | PressureError::Pressure => "pressure_Pa",
                PressureError::Force => "force_N",
            };
            inputs.refuse(key, "not possible", error.to_string(), "write an amount above zero")
        }
    }
}

fn told(contact: Contact) -> Option<Outcome> {
    let mut out = Outcome::default();
    let (kpa, square) = (in_unit(contact.pressure, "Pa", "kPa")?, in_unit(contact.area, "m2", "cm2")?);
    out.number("force_N", contact.force).number("force_kgf", contact.kgf());
    out.number("area_m2", contact.area).number("area_cm2", square);
    out.number("pressure_Pa", contact.pressure).number("pressure_kPa", kpa);
    out.number("pressure_kgf_cm2", contact.kgf_per_cm2()).number("pressure_N_cm2", contact.newton_per_cm2());
    out.note("The mean over the contact: an edge or a bony point presses harder.");
    Some(out)
}

fn in_unit(value: f64, from: &str, to: &str) -> Option<f64> {
    let scales: (Scale, Scale) = (named(from)?, named(to)?);
    convert(&[value], Sense::Value, scales.0, scales.1).first().copied()
}

fn joint(inputs: &Inputs<'_>, name: &Text) -> Option<Joint> {
    let found = coordinate(&name.value);
    if found.is_none() {
        let near = nearest(&name.value, COORDINATES.iter().map(|c| c.id));
        inputs.not_listed_at(name.span, &name.value, "a joint coordinate", near, "write joint and coordinate, for instance `hip.flexion`");
    }
    found
}

struct Placed {
    part: Part,
    posture: Posture,
}

fn placed(inputs: &Inputs<'_>, fibre: Option<f64>, error: Option<f64>) -> Option<Placed> {
    let arms = inputs.named("arms", |name, node, _| {
        let joint = joint(inputs, name);
        let arm = inputs.nested(&name.value, name.span, node, &["angles_deg", "arms_mm"]).and_then(|a| arm(&a));
        Some((joint?, arm?))
    });
    let couplings = if inputs.given("couplings") {
        inputs.objects("couplings", 0, 200, &["between", "mm_per_rad"], |c| {
            let (pair, mm_per_rad) = (c.texts("between", 2), c.number("mm_per_rad"));
            let pair: Vec<Option<Joint>> = pair?.iter().map(|name| joint(c, name)).collect();
            let [a, b] = pair.as_slice() else { return None };
            Some(Coupling { between: ((*a)?, (*b)?), mm_per_rad: mm_per_rad? })
        })
    } else {
        Some(Vec::new())
    };
    let angles = inputs.named("angles_deg", |name, node, exact| {
        let (joint, angle) = (joint(inputs, name), inputs.value(name, node, rule("angles_deg"), exact));
        Some((joint?, angle?))
    });
    let (arms, couplings, angles) = (arms?, couplings?, angles?);
    match Part::new(arms, couplings, fibre, error) {
        Ok(part) => Some(Placed { part, posture: Posture::degrees(angles) }),
        Err(error) => {
            let key = match error {
                PartError::NoArm | PartError::ArmTwice(_) => "arms",
                PartError::CouplingTwice(_) | PartError::CouplingWithItself(_) | PartError::CouplingNotFinite(_) => "couplings",
                PartError::Fibre => "optimal_fibre_mm",
                PartError::Error => "error_mm",
            };
            inputs.refuse(key, "not possible", error.to_string(), "give each joint one arm and each pair of joints one coupling")
        }
    }
}

fn arm(inputs: &Inputs<'_>) -> Option<Arm> {
    let angles = inputs.numbers("angles_deg", 1, 100)?;
    let arms = inputs.as_many("arms_mm", angles.len())?;
    let points: Vec<(f64, f64)> = angles.into_iter().zip(arms).collect();
    match Arm::table(&points) {
        Ok(arm) => Some(arm),
        Err(error) => {
            let key = if matches!(error, ArmError::NotFinite(_)) { "arms_mm" } else { "angles_deg" };
            inputs.refuse(key, "not possible", error.to_string(), "write rising angles, each with its arm")
        }
    }
}

fn by_joint(values: impl IntoIterator<Item = (Joint, f64)>) -> Value {
    Value::Object(values.into_iter().map(|(joint, mm)| (joint.id.to_string(), number(mm))).collect::<Map<_, _>>())
}

fn stretch(inputs: &Inputs<'_>) -> Option<Outcome> {
    let (fibre, error) = (inputs.maybe("optimal_fibre_mm"), inputs.maybe("error_mm"));
    let Placed { part, posture } = placed(inputs, fibre?, error?)?;
    let change = part.change(&posture);
    let beyond = part.beyond_table(&posture);
    let mut out = Outcome::default();
    out.number("length_change_mm", change.total).put("by_joint_mm", by_joint(change.by_joint));
    out.number("coupling_mm", change.coupling).maybe("percent_of_optimal_fibre", part.percent_of_fibre(change.total));
    out.put("beyond_table", beyond.iter().map(|j| Value::from(j.id)).collect());
    out.put("verdict", Value::from(part.verdict(change.total).word())).number("error_mm", part.error());
    if !beyond.is_empty() {
        out.note("Beyond its table an arm is held constant: the length change there is a guess.");
    }
    out.note("One average body. No figure here is a safe limit of stretch for a living person.");
    Some(out)
}

fn moment_arm(inputs: &Inputs<'_>) -> Option<Outcome> {
    let Placed { part, posture } = placed(inputs, None, None)?;
    let mut out = Outcome::default();
    out.put("arms_mm", by_joint(part.moment_arms(&posture)));
    out.put("beyond_table", part.beyond_table(&posture).iter().map(|j| Value::from(j.id)).collect());
    out.note("Positive: the muscle pulls the joint in its positive direction, and moving there shortens it.");
    Some(out)
}

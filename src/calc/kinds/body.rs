//! Reading what a run is made of: materials, tissues, packs, covers, phases.

use crate::calc::inputs::Inputs;
use crate::compute::thermal::run::work;
use crate::compute::thermal::stack::{Body, Cover, Curve, Material, Meets, Pack, Perfusion, Phase, Response, Responses, Run, Tissue};
use std::cell::Cell;

const BLOOD: &[&str] = &["rho_kg_m3", "c_J_kgK"];
const TISSUE: &[&str] = &["name", "k_W_mK", "rho_kg_m3", "c_J_kgK", "thickness_m", "perfusion_1_s", "metabolic_W_m3", "response"];
const PHASE: &[&str] = &["duration_s", "pack", "covers", "outer_W_m2K", "bare"];
const PACK: &[&str] =
    &["kind", "k_W_mK", "rho_kg_m3", "c_J_kgK", "thickness_m", "T0_C", "T_C", "heat_capacity_J_m2K", "power_W_m2", "contact_W_m2K"];
const COVER: &[&str] = &["k_W_mK", "rho_kg_m3", "c_J_kgK", "thickness_m", "contact_W_m2K"];
const RESPONSE: &[&str] = &["skin", "fat", "muscle"];

/// A material.
pub fn material(inputs: &Inputs<'_>) -> Option<Material> {
    let (k, rho, c) = (inputs.number("k_W_mK"), inputs.number("rho_kg_m3"), inputs.number("c_J_kgK"));
    Some(Material { k: k?, rho: rho?, c: c? })
}

/// Density times heat capacity of blood, J/(m3 K).
pub fn blood(inputs: &Inputs<'_>) -> Option<f64> {
    inputs.object("blood", BLOOD, |b| {
        let (rho, c) = (b.number("rho_kg_m3"), b.number("c_J_kgK"));
        Some(rho? * c?)
    })
}

fn tissue(inputs: &Inputs<'_>) -> Option<Tissue> {
    let name = if inputs.given("name") { inputs.text("name").map(|_| ()) } else { Some(()) };
    let material = material(inputs);
    let (thickness, perfusion) = (inputs.number("thickness_m"), inputs.number("perfusion_1_s"));
    let metabolic = inputs.number("metabolic_W_m3");
    let words = [("none", Response::None), ("skin", Response::Skin), ("fat", Response::Fat), ("muscle", Response::Muscle)];
    let response = inputs.word("response", &words);
    name?;
    Some(Tissue { material: material?, thickness: thickness?, perfusion: perfusion?, metabolic: metabolic?, response: response? })
}

/// The body at rest, and how its blood flow behaves.
pub fn body(inputs: &Inputs<'_>) -> Option<(Body, Perfusion)> {
    let (room, core, rest_skin) = (inputs.number("room_C"), inputs.number("core_C"), inputs.number("rest_skin_W_m2K"));
    let (blood, tissue) = (blood(inputs), inputs.objects("tissue", 4, 12, TISSUE, tissue));
    let words = [("responsive", Perfusion::Responsive), ("basal", Perfusion::Basal), ("none", Perfusion::None)];
    let perfusion = inputs.word("perfusion", &words);
    Some((Body { room: room?, core: core?, rest_skin: rest_skin?, blood: blood?, tissue: tissue? }, perfusion?))
}

/// How the length of the first phase is told.
#[derive(Copy, Clone, PartialEq, Eq)]
pub enum First {
    /// As a time.
    Known,
    /// As `unknown`: it is what is looked for.
    Sought,
}

/// Cells times steps of the largest run that is taken on: a few seconds.
const MOST_WORK: f64 = 5e7;

/// A whole run.
pub fn run(inputs: &Inputs<'_>, first: First) -> Option<Run> {
    let body = body(inputs);
    let cover_start = inputs.number("cover_T0_C");
    let responses = responses(inputs, body.as_ref().is_some_and(|(_, p)| *p == Perfusion::Responsive));
    let room = body.as_ref().map_or(f64::NAN, |(b, _)| b.room);
    let place = Cell::new(0);
    let phases = inputs.objects("phases", 1, 50, PHASE, |p| {
        let sought = place.replace(place.get() + 1) == 0 && first == First::Sought;
        phase(p, sought, room, cover_start)
    });
    let (body, perfusion) = body?;
    cover_start?;
    let run = Run { body, perfusion, responses: responses?, phases: phases? };
    if work(&run) > MOST_WORK {
        let help = "fewer or shorter phases, thinner layers, or fewer covers";
        return inputs.refuse("phases", "too much at once", "this run would take minutes to hours", help);
    }
    Some(run)
}

fn phase(inputs: &Inputs<'_>, sought: bool, room: f64, cover_start: Option<f64>) -> Option<Phase> {
    let duration = if sought { unknown(inputs) } else { inputs.number("duration_s") };
    let bare = inputs.maybe_object("bare", &["h_W_m2K", "T_C"], |b| {
        let (h, at) = (b.number("h_W_m2K"), b.number_or_word("T_C", "room"));
        Some((h?, at?.unwrap_or(room)))
    });
    let pack = inputs.maybe_object("pack", PACK, pack);
    let covers = inputs.objects("covers", 0, 40, COVER, cover);
    let meets = match (bare?, pack?, covers?) {
        (Some((h, at)), None, covers) if covers.is_empty() => Meets::Bare { h, at },
        (Some(_), ..) => {
            return inputs.refuse(
                "bare",
                "and something lies on it",
                "the skin of a phase is bare or covered, not both",
                "keep one of the two",
            );
        }
        (None, None, covers) if covers.is_empty() => {
            return inputs.refuse(
                "pack",
                "nothing here",
                "this phase says neither what lies on the skin nor that it is bare",
                "add `pack:` or `bare:`",
            );
        }
        (None, pack, covers) => Meets::Covered { pack, covers, cover_start: cover_start?, outer: inputs.number("outer_W_m2K")? },
    };
    Some(Phase { duration: duration?, meets })
}

fn unknown(inputs: &Inputs<'_>) -> Option<f64> {
    if inputs.text("duration_s")?.starts_with("unknown") {
        return Some(0.0);
    }
    inputs.refuse("duration_s", "a value here", "the length of this phase is what is looked for", "write `duration_s: unknown`")
}

fn pack(inputs: &Inputs<'_>) -> Option<Pack> {
    let contact = inputs.nullable("contact_W_m2K");
    match inputs.word("kind", &[("slab", 0), ("held", 1), ("lumped", 2)])? {
        0 => {
            let inputs = inputs.only(&["kind", "k_W_mK", "rho_kg_m3", "c_J_kgK", "thickness_m", "T0_C", "contact_W_m2K"]);
            let (material, thickness, start) = (material(&inputs), inputs.number("thickness_m"), inputs.number("T0_C"));
            Some(Pack::Slab { material: material?, thickness: thickness?, start: start?, contact: contact? })
        }
        1 => {
            let inputs = inputs.only(&["kind", "T_C", "contact_W_m2K"]);
            Some(Pack::Held { at: inputs.number("T_C")?, contact: contact? })
        }
        _ => {
            let inputs = inputs.only(&["kind", "heat_capacity_J_m2K", "T0_C", "power_W_m2", "contact_W_m2K"]);
            let (capacity, start, power) = (inputs.number("heat_capacity_J_m2K"), inputs.number("T0_C"), inputs.number("power_W_m2"));
            Some(Pack::Lumped { capacity: capacity?, start: start?, power: power?, contact: contact? })
        }
    }
}

fn cover(inputs: &Inputs<'_>) -> Option<Cover> {
    let (material, thickness, contact) = (material(inputs), inputs.number("thickness_m"), inputs.nullable("contact_W_m2K"));
    Some(Cover { material: material?, thickness: thickness?, contact: contact? })
}

/// The answer of blood flow; needed where the flow follows the temperature, and read where it stands.
fn responses(inputs: &Inputs<'_>, needed: bool) -> Option<Responses> {
    if !needed && !inputs.given("response") && !inputs.given("tau_s") && !inputs.given("tau_recover_s") {
        return Some(Responses::default());
    }
    let curves = inputs.object("response", RESPONSE, |r| {
        let one = |key| r.object(key, &["T_C", "multiplier"], curve);
        let (skin, fat, muscle) = (one("skin"), one("fat"), one("muscle"));
        Some((skin?, fat?, muscle?))
    });
    let (lag, lag_recover) = (inputs.number("tau_s"), inputs.number("tau_recover_s"));
    let (skin, fat, muscle) = curves?;
    Some(Responses { skin, fat, muscle, lag: lag?, lag_recover: lag_recover? })
}

fn curve(inputs: &Inputs<'_>) -> Option<Curve> {
    let at = inputs.rising("T_C", 1, 100)?;
    let multiplier = inputs.as_many("multiplier", at.len())?;
    if multiplier.iter().any(|m| !(0.0..=100.0).contains(m)) {
        return inputs.refuse("multiplier", "not possible", "a multiplier of blood flow is outside what is possible", "possible: 0 to 100");
    }
    Some(Curve { points: at.into_iter().zip(multiplier).collect() })
}

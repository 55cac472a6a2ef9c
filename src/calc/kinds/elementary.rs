//! Elementary problems, solved with the chain and the stepping of whole runs, so that closed forms of
//! textbooks can be held against the kernel.

use super::Kind;
use super::body::{blood, material};
use crate::calc::inputs::Inputs;
use crate::calc::outcome::Outcome;
use crate::compute::thermal::chain::End;
use crate::compute::thermal::simple::{Uniform, contact as touch, far, lumped as node, series};
use crate::compute::thermal::stack::{Material, Response, Tissue};

/// The kinds.
pub static KINDS: &[Kind] = &[
    Kind {
        name: "semi-infinite-surface-temperature",
        summary: "sudden surface temperature on a deep body",
        keys: &["k_W_mK", "rho_kg_m3", "c_J_kgK", "T0_C", "surface_C", "x_m", "t_s"],
        run: |i| deep(i, held(i, "surface_C")),
    },
    Kind {
        name: "semi-infinite-flux",
        summary: "constant flow of heat into a deep body",
        keys: &["k_W_mK", "rho_kg_m3", "c_J_kgK", "T0_C", "flux_W_m2", "x_m", "t_s"],
        run: |i| deep(i, i.number("flux_W_m2").map(End::Flow)),
    },
    Kind {
        name: "semi-infinite-convection",
        summary: "a film of air or fluid on a deep body",
        keys: &["k_W_mK", "rho_kg_m3", "c_J_kgK", "T0_C", "h_W_m2K", "fluid_C", "x_m", "t_s"],
        run: |i| deep(i, film(i, "fluid_C")),
    },
    Kind {
        name: "contact",
        summary: "two deep bodies brought together: temperatures of their faces",
        keys: &["body1", "body2", "contact_W_m2K", "t_s"],
        run: contact,
    },
    Kind {
        name: "pennes-steady",
        summary: "steady deep body with blood flow, surface held",
        keys: &["k_W_mK", "rho_kg_m3", "c_J_kgK", "perfusion_1_s", "blood", "arterial_C", "surface_C", "x_m"],
        run: |i| steady(i, held(i, "surface_C"), None),
    },
    Kind {
        name: "pennes-steady-convection",
        summary: "steady deep body with blood flow in a room: its surface",
        keys: &["k_W_mK", "rho_kg_m3", "c_J_kgK", "perfusion_1_s", "blood", "arterial_C", "h_W_m2K", "fluid_C"],
        run: steady_surface,
    },
    Kind {
        name: "pennes-slab",
        summary: "steady slab with blood flow, surface held, inner face insulated",
        keys: &["k_W_mK", "rho_kg_m3", "c_J_kgK", "perfusion_1_s", "blood", "arterial_C", "surface_C", "thickness_m", "x_m"],
        run: |i| steady(i, held(i, "surface_C"), Some(i.number("thickness_m")?)),
    },
    Kind {
        name: "pennes-step",
        summary: "deep body with blood flow, sudden surface temperature",
        keys: &["k_W_mK", "rho_kg_m3", "c_J_kgK", "perfusion_1_s", "blood", "arterial_C", "surface_C", "x_m", "t_s"],
        run: step,
    },
    Kind {
        name: "slab-insulated",
        summary: "slab with one face held, the other insulated",
        keys: &["k_W_mK", "rho_kg_m3", "c_J_kgK", "thickness_m", "T0_C", "surface_C", "x_m", "t_s"],
        run: |i| slab(i, held(i, "surface_C")),
    },
    Kind {
        name: "slab-convection",
        summary: "slab that cools to the room from one face",
        keys: &["k_W_mK", "rho_kg_m3", "c_J_kgK", "thickness_m", "T0_C", "h_W_m2K", "room_C", "x_m", "t_s"],
        run: |i| slab(i, film(i, "room_C")),
    },
    Kind {
        name: "lumped",
        summary: "one node in a room, with or without power",
        keys: &["heat_capacity_J_m2K", "T0_C", "room_C", "h_W_m2K", "power_W_m2", "t_s"],
        run: lumped,
    },
    Kind {
        name: "series-resistance",
        summary: "steady flow of heat through layers and joints in series",
        keys: &["T_hot_C", "T_cold_C", "resistances_m2K_W"],
        run: resistances,
    },
];

fn held(inputs: &Inputs<'_>, key: &'static str) -> Option<End> {
    Some(End::Meets { h: f64::INFINITY, at: inputs.number(key)? })
}

fn film(inputs: &Inputs<'_>, key: &'static str) -> Option<End> {
    let (h, at) = (inputs.number("h_W_m2K"), inputs.number(key));
    Some(End::Meets { h: h?, at: at? })
}

fn plain(material: Material, thickness: f64, start: f64, outer: End) -> Uniform {
    let tissue = Tissue { material, thickness, perfusion: 0.0, metabolic: 0.0, response: Response::None };
    Uniform { tissue, start, arterial: start, blood: 0.0, outer, deep: End::Insulated }
}

fn time(inputs: &Inputs<'_>) -> Option<f64> {
    inputs.between("t_s", 1e-3, 1e5)
}

fn one(key: &str, value: f64) -> Outcome {
    let mut out = Outcome::default();
    out.number(key, value);
    out
}

fn deep(inputs: &Inputs<'_>, outer: Option<End>) -> Option<Outcome> {
    let (material, start, depth, time) = (material(inputs), inputs.number("T0_C"), inputs.number("x_m"), time(inputs));
    let (material, time) = (material?, time?);
    Some(one("T_C", plain(material, far(material, time), start?, outer?).after(time, depth?)))
}

fn slab(inputs: &Inputs<'_>, outer: Option<End>) -> Option<Outcome> {
    let (material, thickness, start) = (material(inputs), inputs.number("thickness_m"), inputs.number("T0_C"));
    let (depth, time) = (inputs.number("x_m"), time(inputs));
    let (thickness, depth) = inside(inputs, thickness?, depth?)?;
    let time = time?;
    Some(one("T_C", plain(material?, thickness, start?, outer?).after(time, depth)))
}

fn inside(inputs: &Inputs<'_>, thickness: f64, depth: f64) -> Option<(f64, f64)> {
    if depth <= thickness {
        return Some((thickness, depth));
    }
    inputs.refuse(
        "x_m",
        "outside the slab",
        format!("the slab is {thickness} m thick, and `x_m` is {depth}"),
        "write a depth inside the slab",
    )
}

struct Perfused {
    uniform: Uniform,
    /// Depth over which the effect of blood flow fades, m.
    decay: f64,
}

/// A body with blood flow; its thickness is to be set.
fn perfused(inputs: &Inputs<'_>, outer: Option<End>) -> Option<Perfused> {
    let (material, blood, arterial) = (material(inputs), blood(inputs), inputs.number("arterial_C"));
    let perfusion = inputs.between("perfusion_1_s", 1e-7, 1.0);
    let (material, blood, arterial, perfusion) = (material?, blood?, arterial?, perfusion?);
    let tissue = Tissue { material, thickness: 0.0, perfusion, metabolic: 0.0, response: Response::None };
    let uniform = Uniform { tissue, start: arterial, arterial, blood, outer: outer?, deep: End::Insulated };
    Some(Perfused { uniform, decay: (material.k / (perfusion * blood)).sqrt() })
}

/// So many decays down nothing is felt of the surface.
const DECAYS: f64 = 40.0;

fn steady(inputs: &Inputs<'_>, outer: Option<End>, thickness: Option<f64>) -> Option<Outcome> {
    let (body, depth) = (perfused(inputs, outer), inputs.number("x_m"));
    let (Perfused { mut uniform, decay }, mut depth) = (body?, depth?);
    uniform.tissue.thickness = match thickness {
        Some(thickness) => {
            (_, depth) = inside(inputs, thickness, depth)?;
            thickness
        }
        None => decay * DECAYS,
    };
    Some(one("T_C", uniform.steady(depth)))
}

fn steady_surface(inputs: &Inputs<'_>) -> Option<Outcome> {
    let Perfused { mut uniform, decay } = perfused(inputs, film(inputs, "fluid_C"))?;
    uniform.tissue.thickness = decay * DECAYS;
    Some(one("T_surface_C", uniform.steady(0.0)))
}

fn step(inputs: &Inputs<'_>) -> Option<Outcome> {
    let (body, depth, time) = (perfused(inputs, held(inputs, "surface_C")), inputs.number("x_m"), time(inputs));
    let (Perfused { mut uniform, .. }, time) = (body?, time?);
    uniform.tissue.thickness = far(uniform.tissue.material, time);
    Some(one("T_C", uniform.after(time, depth?)))
}

fn contact(inputs: &Inputs<'_>) -> Option<Outcome> {
    let side = |key| {
        inputs.object(key, &["k_W_mK", "rho_kg_m3", "c_J_kgK", "T0_C"], |b| {
            let (material, start) = (material(b), b.number("T0_C"));
            Some((material?, start?))
        })
    };
    let (first, second) = (side("body1"), side("body2"));
    let (joint, time) = (inputs.nullable("contact_W_m2K"), time(inputs));
    let (a, b) = touch(first?, second?, joint?, time?);
    let mut out = Outcome::default();
    out.number("T1_face_C", a).number("T2_face_C", b);
    Some(out)
}

fn lumped(inputs: &Inputs<'_>) -> Option<Outcome> {
    let (capacity, start, power) = (inputs.number("heat_capacity_J_m2K"), inputs.number("T0_C"), inputs.number("power_W_m2"));
    let (h, room, time) = (inputs.number("h_W_m2K"), inputs.number("room_C"), time(inputs));
    Some(one("T_C", node(capacity?, start?, power?, h?, room?, time?)))
}

fn resistances(inputs: &Inputs<'_>) -> Option<Outcome> {
    let (hot, cold) = (inputs.number("T_hot_C"), inputs.number("T_cold_C"));
    let resistances = inputs.numbers("resistances_m2K_W", 1, 1000);
    Some(one("flux_W_m2", series(hot?, cold?, &resistances?)))
}

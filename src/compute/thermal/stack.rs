//! The stack of a run: body, packs, covers, phases. Types only.

use serde::{Deserialize, Serialize};

/// Offset from degC to K.
pub const KELVIN: f64 = 273.15;

/// A material: conductivity in W/(m K), density in kg/m3, heat capacity in J/(kg K).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Material {
    /// Conductivity, W/(m K).
    pub k: f64,
    /// Density, kg/m3.
    pub rho: f64,
    /// Heat capacity, J/(kg K).
    pub c: f64,
}

/// How blood flow in a tissue answers to its temperature.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Response {
    /// No answer.
    None,
    /// As skin.
    Skin,
    /// As fat.
    Fat,
    /// As muscle.
    Muscle,
}

/// A layer of the body.
#[derive(Clone, Debug, PartialEq)]
pub struct Tissue {
    /// Material.
    pub material: Material,
    /// Thickness, m.
    pub thickness: f64,
    /// Blood flow at rest, 1/s.
    pub perfusion: f64,
    /// Heat made in it, W/m3.
    pub metabolic: f64,
    /// Answer of the blood flow.
    pub response: Response,
}

/// The body, outside to inside: the first layer is the epidermis. The deep face is held at `core`,
/// which is also the temperature of the arterial blood.
#[derive(Clone, Debug, PartialEq)]
pub struct Body {
    /// Room, degC.
    pub room: f64,
    /// Core and arterial blood, degC.
    pub core: f64,
    /// Heat transfer of bare skin at rest, W/(m2 K).
    pub rest_skin: f64,
    /// Density times heat capacity of blood, J/(m3 K).
    pub blood: f64,
    /// Layers.
    pub tissue: Vec<Tissue>,
}

/// What is laid on. `contact` is the joint on its inner side in W/(m2 K); `None` is perfect contact.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pack {
    /// A slab that starts at `start` degC and cools.
    Slab {
        /// Material.
        material: Material,
        /// Thickness, m.
        thickness: f64,
        /// Start, degC.
        start: f64,
        /// Joint, W/(m2 K).
        contact: Option<f64>,
    },
    /// A face that stays at `at` degC.
    Held {
        /// Temperature, degC.
        at: f64,
        /// Joint, W/(m2 K).
        contact: Option<f64>,
    },
    /// One node of `capacity` J/(m2 K) with `power` W/m2 into it.
    Lumped {
        /// Heat capacity, J/(m2 K).
        capacity: f64,
        /// Start, degC.
        start: f64,
        /// Power, W/m2.
        power: f64,
        /// Joint, W/(m2 K).
        contact: Option<f64>,
    },
}

/// One layer between pack and skin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cover {
    /// Material.
    pub material: Material,
    /// Thickness, m.
    pub thickness: f64,
    /// Joint on the inner side, W/(m2 K); `None` is perfect contact.
    pub contact: Option<f64>,
}

/// What the skin meets in a phase.
#[derive(Clone, Debug, PartialEq)]
pub enum Meets {
    /// Air or a film of `h` W/(m2 K) at `at` degC.
    Bare {
        /// Heat transfer, W/(m2 K).
        h: f64,
        /// Temperature, degC.
        at: f64,
    },
    /// A pack through covers (outside to inside), with `outer` W/(m2 K) from the outermost face to the room.
    Covered {
        /// The pack; `None` is covers alone.
        pack: Option<Pack>,
        /// Covers, outside to inside.
        covers: Vec<Cover>,
        /// Start of the covers, degC.
        cover_start: f64,
        /// Outermost face to the room, W/(m2 K); 0 is insulated.
        outer: f64,
    },
}

/// A stretch of time. Packs and covers come fresh; the tissue carries on.
#[derive(Clone, Debug, PartialEq)]
pub struct Phase {
    /// Length, s.
    pub duration: f64,
    /// What the skin meets.
    pub meets: Meets,
}

/// How blood flow behaves from the first contact on. At rest it is always the basal flow.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Perfusion {
    /// Follows the temperature of the tissue: healthy skin.
    Responsive,
    /// As at rest.
    Basal,
    /// None: compressed, or poorly supplied.
    None,
}

/// Multiplier on the basal flow against temperature, straight between the points, level beyond.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Curve {
    /// Points: degC and multiplier, sorted by degC.
    pub points: Vec<(f64, f64)>,
}

impl Curve {
    /// Multiplier at a temperature in degC; 1 without points.
    pub fn at(&self, t: f64) -> f64 {
        let Some((first, last)) = self.points.first().zip(self.points.last()) else { return 1.0 };
        if t <= first.0 {
            return first.1;
        }
        let pairs = self.points.iter().zip(self.points.iter().skip(1));
        for ((x0, y0), (x1, y1)) in pairs {
            if t <= *x1 {
                return y0 + (y1 - y0) * (t - x0) / (x1 - x0);
            }
        }
        last.1
    }
}

/// The answer of blood flow to temperature.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Responses {
    /// Skin.
    pub skin: Curve,
    /// Fat.
    pub fat: Curve,
    /// Muscle.
    pub muscle: Curve,
    /// Lag, s.
    pub lag: f64,
    /// Lag while flow is below basal and rising, s.
    pub lag_recover: f64,
}

impl Responses {
    /// Curve of a tissue; `None` if its flow does not answer.
    pub fn of(&self, response: Response) -> Option<&Curve> {
        match response {
            Response::None => None,
            Response::Skin => Some(&self.skin),
            Response::Fat => Some(&self.fat),
            Response::Muscle => Some(&self.muscle),
        }
    }
}

/// A whole run.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// Body.
    pub body: Body,
    /// Blood flow.
    pub perfusion: Perfusion,
    /// Its answer; used by `Responsive` alone.
    pub responses: Responses,
    /// Phases in order.
    pub phases: Vec<Phase>,
}

//! The constants of the model, each with where it comes from and how far that was followed.
//!
//! Data, no arithmetic. Where sources disagree the disagreement is told in `source`. What is marked
//! an estimate, fitted or from memory is the weak part of every result and is shown beside it.

use super::stack::{Material, Response};
use crate::model::vocabulary::{Cover, ThermalSource};

/// How far a number was followed to its origin.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// Read in the paper or its abstract.
    Read,
    /// Read in another work that cites it.
    Secondary,
    /// From memory.
    Memory,
    /// An engineering estimate.
    Estimate,
    /// Fitted to a measurement.
    Fitted,
}

impl Status {
    /// Words for people.
    pub fn word(self) -> &'static str {
        match self {
            Status::Read => "read in the paper or its abstract",
            Status::Secondary => "read in a work that cites it",
            Status::Memory => "from memory",
            Status::Estimate => "an estimate",
            Status::Fitted => "fitted to a measurement",
        }
    }
}

/// Where a number comes from.
#[derive(Clone, Copy, Debug)]
pub struct From {
    /// Source and known disagreement.
    pub source: &'static str,
    /// How far it was followed.
    pub status: Status,
}

const fn from(source: &'static str, status: Status) -> From {
    From { source, status }
}

const fn material(k: f64, rho: f64, c: f64) -> Material {
    Material { k, rho, c }
}

/// A layer of the body.
#[derive(Clone, Copy, Debug)]
pub struct BodyLayer {
    /// Name.
    pub name: &'static str,
    /// Material.
    pub material: Material,
    /// Thickness, m.
    pub thickness: f64,
    /// Blood flow at rest, 1/s.
    pub perfusion: f64,
    /// Heat made, W/m3.
    pub metabolic: f64,
    /// Answer of blood flow.
    pub response: Response,
    /// Where from.
    pub from: From,
}

/// Layers, outside to inside.
pub const BODY: [BodyLayer; 4] = [
    BodyLayer {
        name: "epidermis",
        material: material(0.24, 1200.0, 3590.0),
        thickness: 8e-5,
        perfusion: 0.0,
        metabolic: 0.0,
        response: Response::None,
        from: from(
            "Thickness Sandby-Moller 2003 (75 to 96 um by site; Xu 2017 gives 100 um); properties Jiang 2002, Burns 28:713",
            Status::Secondary,
        ),
    },
    BodyLayer {
        name: "dermis",
        material: material(0.45, 1200.0, 3300.0),
        thickness: 1.5e-3,
        perfusion: 1.25e-3,
        metabolic: 200.0,
        response: Response::Skin,
        from: from("Jiang 2002, Burns 28:713; thickness an estimate (others 1.1 to 5.9 mm)", Status::Secondary),
    },
    BodyLayer {
        name: "fat",
        material: material(0.21, 911.0, 2348.0),
        thickness: 6e-3,
        perfusion: 3.4e-4,
        metabolic: 58.0,
        response: Response::Fat,
        from: from(
            "IT'IS tissue database; blood flow Lang 1999 from memory; thickness an estimate (calf 7.1 mm, Ostrowski 2019)",
            Status::Secondary,
        ),
    },
    BodyLayer {
        name: "muscle",
        material: material(0.49, 1090.0, 3421.0),
        thickness: 0.03,
        perfusion: 4.2e-4,
        metabolic: 684.0,
        response: Response::Muscle,
        from: from("IT'IS tissue database; blood flow Lang 1999 and Fiala 1999 from memory", Status::Secondary),
    },
];

/// Density times heat capacity of blood, J/(m3 K).
pub const BLOOD: f64 = 1060.0 * 3770.0;

/// Room, degC.
pub const ROOM: f64 = 23.0;

/// Heat transfer of bare skin and of the outer face of a pack, W/(m2 K).
pub const BARE_SKIN: f64 = 9.0;
/// See `BARE_SKIN`.
pub const PACK_FACE: f64 = 8.0;

/// Core and arterial blood of the trunk, degC.
pub const CORE_TRUNK: f64 = 37.0;
/// The same of a limb.
pub const CORE_LIMB: f64 = 35.5;

/// Answer of blood flow: degC and multiplier on the flow at rest.
pub const FLOW_SKIN: [(f64, f64); 7] = [(20.0, 0.1), (27.0, 0.5), (33.0, 1.0), (37.0, 2.2), (40.0, 7.0), (42.0, 13.0), (43.0, 15.0)];
/// The same for fat.
pub const FLOW_FAT: [(f64, f64); 8] =
    [(20.0, 0.3), (28.0, 0.6), (33.0, 1.0), (37.0, 1.0), (39.0, 1.05), (41.0, 1.26), (43.0, 1.72), (45.0, 2.0)];
/// The same for muscle.
pub const FLOW_MUSCLE: [(f64, f64); 8] =
    [(20.0, 0.3), (28.0, 0.6), (33.0, 1.0), (37.0, 1.04), (39.0, 1.39), (41.0, 3.08), (43.0, 6.65), (45.0, 8.89)];
/// Lag of blood flow, s.
pub const LAG: f64 = 240.0;
/// Lag while flow is low and rising, s.
pub const LAG_RECOVER: f64 = 1800.0;

/// What lies outside the list of layers and packs, with its source.
pub const SURROUNDINGS: [(&str, &str, From); 5] = [
    ("Blood", "1060 kg/m3, 3770 J/(kg K)", from("Jiang 2002, Burns 28:713", Status::Secondary)),
    (
        "Core and arterial blood",
        "trunk 37 °C, limb 35.5 °C",
        from("gives skin at rest of 33.7 and 32.4 °C; a back was measured at 33.2 °C", Status::Estimate),
    ),
    (
        "Room and skin",
        "23 °C; bare skin 9 W/(m2 K), face of a pack 8 W/(m2 K)",
        from("de Dear 1997, Int J Biometeorol 40:141 (3.4 by air, 4.5 by radiation), and 1 for sweat", Status::Read),
    ),
    (
        "Blood flow in warm skin",
        "15 times the flow at rest at 43 °C",
        from("Taylor 1984, J Appl Physiol 57:191; Song 1990, IJROBP 18:903; values between and in the cold are estimates", Status::Read),
    ),
    (
        "Lag of blood flow",
        "240 s; 1800 s while it recovers from cold",
        from("Khoshnevis 2015 for the slow recovery; the numbers are estimates", Status::Estimate),
    ),
];

/// What stands for a source of heat or cold.
#[derive(Clone, Copy, Debug)]
pub enum Apparatus {
    /// A slab that cools.
    Slab(Material, f64),
    /// A face that stays at its temperature.
    Held,
    /// A face at the temperature given here, degC, whatever the dose says.
    HeldAt(f64),
}

/// A source: what it is, its film on the skin or cover in W/(m2 K), where the numbers come from.
#[derive(Clone, Copy, Debug)]
pub struct Source {
    /// Kind.
    pub kind: ThermalSource,
    /// What stands for it.
    pub is: Apparatus,
    /// Joint, W/(m2 K).
    pub film: f64,
    /// Where from.
    pub from: From,
}

/// Joint of dry cloth, W/(m2 K).
pub const JOINT_DRY: f64 = 250.0;
/// Joint of damp or wet cloth, W/(m2 K).
pub const JOINT_WET: f64 = 1000.0;
/// Where the joints come from.
pub const JOINTS: From = from("0.1 mm of air is 260 W/(m2 K)", Status::Estimate);

/// Sources.
pub const SOURCES: [Source; 11] = [
    Source {
        kind: ThermalSource::GrainBag,
        is: Apparatus::Slab(material(0.20, 770.0, 1900.0), 0.03),
        film: JOINT_DRY,
        from: from(
            "density of wheat 765 kg/m3; dry conductivity and capacity from memory, 0.05 W/(m K) added for vapour",
            Status::Estimate,
        ),
    },
    Source {
        kind: ThermalSource::ClayPack,
        is: Apparatus::Slab(material(0.60, 1150.0, 3500.0), 0.025),
        film: JOINT_WET,
        from: from("thickness and properties", Status::Estimate),
    },
    Source {
        kind: ThermalSource::GelPack,
        is: Apparatus::Slab(material(0.55, 1030.0, 3600.0), 0.02),
        film: 500.0,
        from: from("thickness and properties", Status::Estimate),
    },
    Source {
        kind: ThermalSource::WaterBottle,
        is: Apparatus::Slab(material(20.0, 990.0, 4180.0), 0.03),
        film: JOINT_DRY,
        from: from("water that stirs itself counts as a good conductor", Status::Estimate),
    },
    Source {
        kind: ThermalSource::ElectricPad,
        is: Apparatus::Held,
        film: JOINT_DRY,
        from: from("held at the set temperature; a pad without a working thermostat is hotter", Status::Estimate),
    },
    Source {
        kind: ThermalSource::HeldHeat,
        is: Apparatus::Held,
        film: JOINT_DRY,
        from: from("heat without end: the bound for a source that nobody knows", Status::Estimate),
    },
    Source {
        kind: ThermalSource::IcePack,
        is: Apparatus::HeldAt(0.0),
        film: 45.0,
        from: from("fitted to cubed ice on bare skin, J Sport Rehabil 1997;6:343", Status::Fitted),
    },
    Source {
        kind: ThermalSource::CrushedIce,
        is: Apparatus::HeldAt(0.0),
        film: 200.0,
        from: from("fitted to crushed ice in a wet towel, Physiother Theory Pract 2010;26:393", Status::Fitted),
    },
    Source {
        kind: ThermalSource::FrozenGel,
        is: Apparatus::Held,
        film: 500.0,
        from: from("held at its temperature when it is laid on: a bound", Status::Estimate),
    },
    Source {
        kind: ThermalSource::MovingIce,
        is: Apparatus::HeldAt(0.0),
        film: 1000.0,
        from: from("film of melt water under the edge of the ice", Status::Estimate),
    },
    Source {
        kind: ThermalSource::ColdStream,
        is: Apparatus::HeldAt(-20.0),
        film: 1500.0,
        from: from(
            "takes skin to -20 °C (secondary); 600 to 3000 W/(m2 K) give 8 to -12 °C after three passes: the weak number",
            Status::Estimate,
        ),
    },
];

/// Share of a spot that a stroked piece of ice touches at any moment.
pub const STROKE_SHARE: f64 = 0.25;

/// One layer of cover: material and thickness in m, joint in W/(m2 K), where from.
pub fn cover(kind: Cover) -> Option<(Material, f64, f64, From)> {
    let towel = from("fitted with the barrier and hot-pack studies: a towel of another make can differ by half", Status::Fitted);
    Some(match kind {
        Cover::LoftedTowel => (material(0.06, 180.0, 1340.0), 2.5e-3, JOINT_DRY, towel),
        Cover::PressedTowel => (material(0.06, 300.0, 1340.0), 1.5e-3, JOINT_DRY, towel),
        Cover::DampTowel => (material(0.30, 700.0, 2800.0), 1.5e-3, JOINT_WET, towel),
        Cover::WetTowel => (material(0.40, 950.0, 3700.0), 1.5e-3, JOINT_WET, towel),
        Cover::CottonSheet => (material(0.06, 300.0, 1340.0), 0.4e-3, JOINT_DRY, from("thickness and properties", Status::Estimate)),
        Cover::ElasticWrap => (material(0.05, 300.0, 1340.0), 4e-3, JOINT_DRY, from("thickness and properties", Status::Estimate)),
        Cover::None => return None,
    })
}

/// The entry of a source.
pub fn source(kind: ThermalSource) -> Option<&'static Source> {
    SOURCES.iter().find(|s| s.kind == kind)
}

/// Burn integral at the basal layer that counts as a first-degree burn.
pub const BURN_FIRST: f64 = 0.53;
/// Where the burn integral comes from.
pub const BURN: From = from(
    "Henriques 1947, A 3.1e98 /s and E/R 75,000 K; 0.53 is first degree, 1 second degree. The SI pair 6.28e8 J/kmol over 8314 looks the same and makes every time five times longer: not used",
    Status::Secondary,
);

/// Contact thresholds: skin above so many degC for at most so many seconds.
pub const CONTACT: [(f64, f64); 3] = [(43.0, 600.0), (48.0, 60.0), (51.0, 0.0)];
/// Where the thresholds come from.
pub const CONTACT_FROM: From = from(
    "IEC 60601-1 table 24 and ISO 13732-1: 43 °C for 10 min and more, 48 °C up to 10 min, 51 °C up to 1 min; read in other works, the tables themselves from memory",
    Status::Memory,
);

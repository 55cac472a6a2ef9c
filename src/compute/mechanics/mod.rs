//! Stretch and pressure in numbers: how much longer a muscle becomes in a position, which position
//! lengthens it most, which joint is left loose, what force on what area makes what pressure.
//!
//! The moment arms come from the pack; the formula, the error and the outcomes are here. Nothing here
//! says how far is safe: no open data gives a limit of strain for a living person.

pub mod facts;
pub mod pressure;
pub mod range;
pub mod rank;
pub mod stretch;
pub mod thumb;

pub use facts::{Listed, PartStretch, Placed, Stretch};
pub use pressure::{Contact, PressureError};
pub use rank::{Candidate, Loose, Ranked};
pub use stretch::{Arm, ArmError, Change, Coupling, OTHER_MODEL_MM, Part, PartError, Posture, Verdict};

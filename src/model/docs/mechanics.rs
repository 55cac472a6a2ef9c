//! Moment arms of a muscle as written in a pack: one table for each part.

use super::Ground;
use crate::model::motion::Coordinate;
use crate::source::Span;
use crate::source::Spanned;
use crate::source::Text;

/// A part of a muscle that has moment arms of its own.
#[derive(Clone, Debug)]
pub struct MusclePart {
    /// Name; `all` for a muscle that is not divided.
    pub name: Text,
    /// Moment arms by joint coordinate.
    pub arms: Vec<JointArm>,
    /// Couplings.
    pub couplings: Vec<JointCoupling>,
    /// Optimal fibre length, mm.
    pub fibre: Option<Spanned<f64>>,
    /// Uncertainty of a length change, mm.
    pub error: Option<Spanned<f64>>,
    /// Ground.
    pub ground: Ground,
    /// Where it stands.
    pub span: Span,
}

/// The moment arm of one joint coordinate.
#[derive(Clone, Debug)]
pub struct JointArm {
    /// Coordinate.
    pub joint: &'static Coordinate,
    /// Angles in degrees, rising, with the arm in mm. One entry is a constant arm.
    pub points: Vec<(f64, f64)>,
    /// Where the coordinate is named.
    pub at: Span,
}

/// The coupling of two joint coordinates.
#[derive(Clone, Debug)]
pub struct JointCoupling {
    /// The pair.
    pub between: (&'static Coordinate, &'static Coordinate),
    /// Millimetres of arm for each radian of the other coordinate.
    pub mm_per_rad: f64,
    /// Where it stands.
    pub span: Span,
}

//! The moment arm of one joint coordinate as a table over its angle.

/// Angles this close to the end of a table are inside it, radians.
const SLACK: f64 = 1e-9;

/// The moment arm of one coordinate, mm, over its angle, radians.
#[derive(Clone, Debug, PartialEq)]
pub struct Arm {
    points: Vec<(f64, f64)>,
}

/// Why a table of arms is refused.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum ArmError {
    /// No value at all.
    Empty,
    /// A number is infinite or none, at this index.
    NotFinite(usize),
    /// An angle is not above the one before it, at this index.
    NotSorted(usize),
    /// An angle beyond a full turn, at this index.
    BeyondTurn(usize),
}

impl std::fmt::Display for ArmError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            ArmError::Empty => write!(f, "a moment arm needs at least one value"),
            ArmError::NotFinite(i) => write!(f, "value {} of the moment arm is no finite number", i + 1),
            ArmError::NotSorted(i) => write!(f, "angle {} of the moment arm is not above the one before it", i + 1),
            ArmError::BeyondTurn(i) => write!(f, "angle {} of the moment arm is beyond a full turn", i + 1),
        }
    }
}

impl Arm {
    /// One arm for every angle, mm.
    ///
    /// # Errors
    /// If it is no finite number.
    pub fn constant(mm: f64) -> Result<Arm, ArmError> {
        Arm::table(&[(0.0, mm)])
    }

    /// Arms at rising angles, in degrees and mm. A single one is a constant arm.
    ///
    /// # Errors
    /// If there is none, or an angle does not rise, or a number is not finite.
    pub fn table(degrees_mm: &[(f64, f64)]) -> Result<Arm, ArmError> {
        if degrees_mm.is_empty() {
            return Err(ArmError::Empty);
        }
        for (i, (angle, mm)) in degrees_mm.iter().enumerate() {
            if !angle.is_finite() || !mm.is_finite() {
                return Err(ArmError::NotFinite(i));
            }
            if angle.abs() > 360.0 {
                return Err(ArmError::BeyondTurn(i));
            }
        }
        if let Some(i) = degrees_mm.windows(2).position(|w| w[0].0 >= w[1].0) {
            return Err(ArmError::NotSorted(i + 1));
        }
        Ok(Arm { points: degrees_mm.iter().map(|(angle, mm)| (angle.to_radians(), *mm)).collect() })
    }

    /// Angles, radians, with their arms, mm.
    pub fn points(&self) -> &[(f64, f64)] {
        &self.points
    }

    /// First and last angle of the table, radians; `None` for a constant arm.
    pub fn range(&self) -> Option<(f64, f64)> {
        match (self.points.first(), self.points.last()) {
            (Some(first), Some(last)) if self.points.len() > 1 => Some((first.0, last.0)),
            _ => None,
        }
    }

    /// The arm at an angle, mm.
    pub fn at(&self, q: f64) -> f64 {
        let next = self.points.partition_point(|(angle, _)| *angle <= q);
        match (next.checked_sub(1).and_then(|i| self.points.get(i)), self.points.get(next)) {
            (Some((a, ra)), Some((b, rb))) => ra + (rb - ra) * (q - a) / (b - a),
            (Some((_, r)), None) | (None, Some((_, r))) => *r,
            (None, None) => 0.0,
        }
    }

    /// The integral of the arm from zero to an angle, mm (arms in mm times radians).
    pub fn integral(&self, q: f64) -> f64 {
        let (lo, hi) = (q.min(0.0), q.max(0.0));
        let inner = self.points.iter().map(|(angle, _)| *angle).filter(|a| *a > lo && *a < hi);
        let mut from = lo;
        let mut sum = 0.0;
        for to in inner.chain([hi]) {
            sum += f64::midpoint(self.at(from), self.at(to)) * (to - from);
            from = to;
        }
        if q < 0.0 { -sum } else { sum }
    }

    /// True if an angle is outside the table; never for a constant arm.
    pub fn beyond(&self, q: f64) -> bool {
        self.range().is_some_and(|(lo, hi)| q < lo - SLACK || q > hi + SLACK)
    }
}

//! What a run leaves behind: temperatures of the faces and depths that anybody asks about, over time.

use super::damage::Line;

/// Depths below the skin surface that are followed, m.
pub const DEPTHS: [f64; 3] = [0.01, 0.015, 0.02];

/// Temperatures at each point in time.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct History {
    /// Time, s.
    pub t: Vec<f64>,
    /// Skin surface, degC.
    pub skin: Vec<f64>,
    /// Face between epidermis and dermis, degC.
    pub basal: Vec<f64>,
    /// Face between dermis and fat, degC.
    pub dermis_fat: Vec<f64>,
    /// At each of `DEPTHS` below the skin surface, degC.
    pub depths: [Vec<f64>; 3],
    /// 1 cm below the face between fat and muscle, degC.
    pub muscle_1cm: Vec<f64>,
    /// End of each phase, s.
    pub ends: Vec<f64>,
    /// Heat that went out of the body's surface from the first contact on, J/m2.
    pub drawn: f64,
}

impl History {
    /// Skin surface.
    pub fn skin(&self) -> Line<'_> {
        Line { t: &self.t, temp: &self.skin }
    }

    /// Basal layer.
    pub fn basal(&self) -> Line<'_> {
        Line { t: &self.t, temp: &self.basal }
    }

    /// Face between dermis and fat.
    pub fn dermis_fat(&self) -> Line<'_> {
        Line { t: &self.t, temp: &self.dermis_fat }
    }

    /// A followed depth by its place in `DEPTHS`; empty for another.
    pub fn depth(&self, i: usize) -> Line<'_> {
        Line { t: &self.t, temp: self.depths.get(i).map_or(&[], Vec::as_slice) }
    }

    /// 1 cm below the face between fat and muscle.
    pub fn muscle_1cm(&self) -> Line<'_> {
        Line { t: &self.t, temp: &self.muscle_1cm }
    }
}

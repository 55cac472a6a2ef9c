//! A chain of cells: what a stack becomes once it is cut up. Geometry and conductances, no time.

use super::stack::{Cover, Material, Pack, Tissue};

/// What an end of the chain meets.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum End {
    /// Nothing passes.
    Insulated,
    /// `h` W/(m2 K) to `at` degC; infinite `h` holds the face itself.
    Meets {
        /// Heat transfer, W/(m2 K).
        h: f64,
        /// Temperature, degC.
        at: f64,
    },
    /// A flow inward, W/m2.
    Flow(f64),
}

/// How finely layers are cut: 1 is the production grid, 2 halves every cell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fineness(pub f64);

/// Cells in order, outside to inside. All vectors but `joint` have one entry a cell.
#[derive(Clone, Debug, Default)]
pub struct Chain {
    /// Heat capacity, J/(m2 K).
    pub capacity: Vec<f64>,
    /// Half resistance, m2 K/W; 0 for a lumped node.
    pub half: Vec<f64>,
    /// Resistance of the joint behind the cell, m2 K/W; 0 inside a layer. The last is unused.
    pub joint: Vec<f64>,
    /// Exchange with blood at basal flow, W/(m2 K).
    pub blood: Vec<f64>,
    /// Heat made, W/m2.
    pub source: Vec<f64>,
    /// Temperature at the start, degC.
    pub start: Vec<f64>,
}

impl Chain {
    /// Number of cells.
    pub fn len(&self) -> usize {
        self.capacity.len()
    }

    /// True if there is no cell.
    pub fn is_empty(&self) -> bool {
        self.capacity.is_empty()
    }

    /// Adds a layer cut into `widths` m, starting at `start` degC.
    pub fn layer(&mut self, material: Material, widths: &[f64], start: f64) {
        for w in widths {
            self.cell(material.rho * material.c * w, w / (2.0 * material.k), start);
        }
    }

    /// Adds one cell.
    pub fn cell(&mut self, capacity: f64, half: f64, start: f64) {
        self.capacity.push(capacity);
        self.half.push(half);
        self.joint.push(0.0);
        self.blood.push(0.0);
        self.source.push(0.0);
        self.start.push(start);
    }

    /// Sets the joint behind the last cell: W/(m2 K), `None` for perfect contact.
    pub fn join(&mut self, contact: Option<f64>) {
        if let Some(last) = self.joint.last_mut() {
            *last = contact.map_or(0.0, |h| 1.0 / h);
        }
    }

    /// Adds a tissue: its blood exchange and its heat. `blood` is density times heat capacity, J/(m3 K).
    pub fn tissue(&mut self, tissue: &Tissue, widths: &[f64], start: f64, blood: f64) {
        let first = self.len();
        self.layer(tissue.material, widths, start);
        for (i, w) in widths.iter().enumerate() {
            self.blood[first + i] = tissue.perfusion * blood * w;
            self.source[first + i] = tissue.metabolic * w;
        }
    }

    /// Adds the pack and the covers; returns what the outer end meets.
    pub fn outside(&mut self, pack: Option<&Pack>, covers: &[Cover], cover_start: f64, room: End, fine: Fineness) -> End {
        let mut end = room;
        match pack {
            Some(Pack::Slab { material, thickness, start, contact }) => {
                let mut widths = growing(*thickness, 1e-4, 1.18, 1.6e-3, fine);
                widths.reverse();
                self.layer(*material, &widths, *start);
                self.join(*contact);
            }
            Some(Pack::Lumped { capacity, start, power, contact }) => {
                self.cell(*capacity, 0.0, *start);
                if let Some(last) = self.source.last_mut() {
                    *last = *power;
                }
                self.join(*contact);
            }
            Some(Pack::Held { at, contact }) => end = End::Meets { h: contact.unwrap_or(f64::INFINITY), at: *at },
            None => {}
        }
        for cover in covers {
            self.layer(cover.material, &even(cover.thickness, 3e-4, 3.0, fine), cover_start);
            self.join(cover.contact);
        }
        end
    }

    /// Puts another chain behind this one.
    pub fn append(&mut self, other: &Chain) {
        self.capacity.extend_from_slice(&other.capacity);
        self.half.extend_from_slice(&other.half);
        self.joint.extend_from_slice(&other.joint);
        self.blood.extend_from_slice(&other.blood);
        self.source.extend_from_slice(&other.source);
        self.start.extend_from_slice(&other.start);
    }

    /// Conductance between cell `i` and the next, W/(m2 K).
    pub fn conductance(&self, i: usize) -> f64 {
        1.0 / (self.half[i] + self.joint[i] + self.half[i + 1])
    }
}

impl End {
    /// Conductance from the centre of the end cell, whose half resistance is given, W/(m2 K).
    pub fn conductance(self, half: f64) -> f64 {
        match self {
            End::Meets { h, .. } if h > 0.0 => 1.0 / (half + 1.0 / h),
            _ => 0.0,
        }
    }

    /// Heat that flows in however warm the cell is, W/m2.
    pub fn inflow(self, half: f64) -> f64 {
        match self {
            End::Meets { at, .. } => self.conductance(half) * at,
            End::Flow(q) => q,
            End::Insulated => 0.0,
        }
    }
}

/// Equal widths of about `width` m, at least `least` of them.
pub fn even(thickness: f64, width: f64, least: f64, fine: Fineness) -> Vec<f64> {
    let mut rest = (thickness / width).ceil().max(least) * fine.0;
    let width = thickness / rest;
    let mut out = Vec::new();
    while rest > 0.5 {
        out.push(width);
        rest -= 1.0;
    }
    out
}

/// Widths that grow from `first` by `ratio` to at most `cap` m, scaled to fill the thickness.
pub fn growing(thickness: f64, first: f64, ratio: f64, cap: f64, fine: Fineness) -> Vec<f64> {
    let (first, cap, ratio) = (first / fine.0, cap / fine.0, ratio.powf(1.0 / fine.0));
    let mut out: Vec<f64> = Vec::new();
    let (mut sum, mut width) = (0.0, first);
    while sum < thickness - 0.5 * width || out.is_empty() {
        out.push(width);
        sum += width;
        width = (width * ratio).min(cap);
    }
    for w in &mut out {
        *w *= thickness / sum;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_fill_the_layer() {
        for (thickness, fine) in [(8e-5, 1.0), (1.5e-3, 1.0), (0.03, 2.0), (0.3, 4.0)] {
            for widths in [growing(thickness, 2.4e-5, 1.2, 1.2e-4, Fineness(fine)), even(thickness, 3e-4, 3.0, Fineness(fine))] {
                let sum: f64 = widths.iter().sum();
                assert!((sum - thickness).abs() < 1e-12 && widths.iter().all(|w| *w > 0.0), "{thickness} {fine}: {sum}");
            }
        }
    }

    #[test]
    fn conductances_are_in_series() {
        let mut chain = Chain::default();
        let material = Material { k: 0.5, rho: 1000.0, c: 4000.0 };
        chain.layer(material, &[0.01], 20.0);
        chain.join(Some(100.0));
        chain.layer(material, &[0.01], 20.0);
        assert!((chain.conductance(0) - 1.0 / (0.01 + 0.01 + 0.01)).abs() < 1e-9);
        assert!((End::Meets { h: 50.0, at: 10.0 }.conductance(0.01) - 1.0 / 0.03).abs() < 1e-9);
        assert!((End::Meets { h: f64::INFINITY, at: 10.0 }.conductance(0.01) - 100.0).abs() < 1e-9);
    }
}

//! Time stepping of a chain: TR-BDF2, and the lag of blood flow behind temperature.

use super::chain::{Chain, End};
use super::stack::Curve;

/// Temperatures and flow of a chain in time.
#[derive(Clone, Debug)]
pub struct State {
    /// Temperature of each cell, degC.
    pub t: Vec<f64>,
    /// Multiplier on basal blood flow of each cell.
    pub m: Vec<f64>,
}

/// How blood flow answers.
#[derive(Clone, Copy, Debug)]
pub enum Flow<'a> {
    /// It does not change.
    Fixed,
    /// It follows the curve of each cell with a lag.
    Follows {
        /// Curve of each cell; `None` where flow does not answer.
        curves: &'a [Option<&'a Curve>],
        /// Lag, s.
        lag: f64,
        /// Lag while flow is below basal and rising, s.
        recover: f64,
    },
}

/// A chain with its two ends and what it exchanges with blood.
#[derive(Clone, Copy, Debug)]
pub struct Problem<'a> {
    /// Cells.
    pub chain: &'a Chain,
    /// Arterial blood, degC.
    pub arterial: f64,
    /// Outer end.
    pub outer: End,
    /// Deep end.
    pub deep: End,
    /// Blood flow.
    pub flow: Flow<'a>,
}

/// A solver with its scratch space: conductances are computed once for a problem.
#[derive(Debug)]
pub struct Solver<'a> {
    problem: Problem<'a>,
    between: Vec<f64>,
    ends: (f64, f64),
    inflow: (f64, f64),
    /// Per cell: what pulls on it, what is given to it, one over the pivot, the factor of elimination.
    pull: Vec<f64>,
    given: Vec<f64>,
    pivot: Vec<f64>,
    lead: Vec<f64>,
    right: Vec<f64>,
    mid: Vec<f64>,
    flow: Vec<f64>,
    /// Temperatures before the last step, and before this one.
    old: Vec<f64>,
    /// Length of the last step, s; `None` at the start.
    last: Option<f64>,
}

/// 2 minus the square root of 2.
const GAMMA: f64 = 2.0 - std::f64::consts::SQRT_2;

impl<'a> Solver<'a> {
    /// Prepares.
    pub fn new(problem: Problem<'a>) -> Solver<'a> {
        let chain = problem.chain;
        let n = chain.len();
        let between: Vec<f64> = (1..n).map(|i| chain.conductance(i - 1)).collect();
        let half = |i: Option<&f64>| i.copied().unwrap_or(0.0);
        let (first, last) = (half(chain.half.first()), half(chain.half.last()));
        Solver {
            between,
            ends: (problem.outer.conductance(first), problem.deep.conductance(last)),
            inflow: (problem.outer.inflow(first), problem.deep.inflow(last)),
            pull: vec![0.0; n],
            given: vec![0.0; n],
            pivot: vec![0.0; n],
            lead: vec![0.0; n],
            right: vec![0.0; n],
            mid: vec![0.0; n],
            flow: vec![1.0; n],
            old: vec![0.0; n],
            last: None,
            problem,
        }
    }

    /// Total conductance at each cell, W/(m2 K), and heat into it that does not depend on temperatures,
    /// W/m2, with the blood flow of `flow`.
    fn load(&mut self) {
        let chain = self.problem.chain;
        let n = chain.len();
        for i in 0..n {
            let out = if i == 0 { self.ends.0 } else { self.between[i - 1] };
            let inn = if i + 1 == n { self.ends.1 } else { self.between[i] };
            let blood = chain.blood[i] * self.flow[i];
            self.pull[i] = out + inn + blood;
            self.given[i] = chain.source[i] + blood * self.problem.arterial;
        }
        if let Some(first) = self.given.first_mut() {
            *first += self.inflow.0;
        }
        if let Some(last) = self.given.last_mut() {
            *last += self.inflow.1;
        }
    }

    /// Factors `C + a K` (with `C` left out if `steady`).
    fn factor(&mut self, a: f64, steady: bool) {
        let mut before = 0.0;
        for i in 0..self.pull.len() {
            let c = if steady { 0.0 } else { self.problem.chain.capacity[i] };
            let mut d = c + a * self.pull[i];
            if i > 0 {
                let off = a * self.between[i - 1];
                self.lead[i] = off * before;
                d -= off * self.lead[i];
            }
            before = 1.0 / d;
            self.pivot[i] = before;
        }
    }

    /// Solves with the factored matrix; `right` in, `out` filled.
    fn solve(&self, a: f64, right: &mut [f64], out: &mut [f64]) {
        let n = right.len();
        let mut carried = 0.0;
        for (r, lead) in right.iter_mut().zip(&self.lead) {
            carried = *r + lead * carried;
            *r = carried;
        }
        let mut next = 0.0;
        for i in (0..n).rev() {
            let t = (right[i] + next) * self.pivot[i];
            out[i] = t;
            next = if i > 0 { a * self.between[i - 1] * t } else { 0.0 };
        }
    }

    /// The steady state, with blood flow at its target if it answers. Iterated to 1e-10 K.
    pub fn steady(&mut self, state: &mut State) {
        for _ in 0..200 {
            self.to_target(state);
            self.flow.copy_from_slice(&state.m);
            self.load();
            self.factor(1.0, true);
            let mut right = self.given.clone();
            let old = state.t.clone();
            self.solve(1.0, &mut right, &mut state.t);
            let moved = old.iter().zip(&state.t).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
            if moved < 1e-10 {
                break;
            }
        }
        self.to_target(state);
    }

    fn to_target(&self, state: &mut State) {
        if let Flow::Follows { curves, .. } = self.problem.flow {
            for ((m, t), curve) in state.m.iter_mut().zip(&state.t).zip(curves) {
                if let Some(curve) = curve {
                    *m = curve.at(*t);
                }
            }
        }
    }

    /// One step of `h` s.
    pub fn step(&mut self, state: &mut State, h: f64) {
        let a = GAMMA * h / 2.0;
        // Where flow is fixed, steps of one length share one matrix.
        if !matches!((self.problem.flow, self.last), (Flow::Fixed, Some(last)) if last.to_bits() == h.to_bits()) {
            self.mid_flow(state, h);
            self.load();
            self.factor(a, false);
        }
        self.old.copy_from_slice(&state.t);
        let (mut right, mut mid, old) = (std::mem::take(&mut self.right), std::mem::take(&mut self.mid), std::mem::take(&mut self.old));
        let (n, capacity) = (old.len(), &self.problem.chain.capacity);
        for i in 0..n {
            let out = if i > 0 { self.between[i - 1] * old[i - 1] } else { 0.0 };
            let inn = if i + 1 < n { self.between[i] * old[i + 1] } else { 0.0 };
            right[i] = capacity[i] * old[i] + a * (out + inn - self.pull[i] * old[i] + 2.0 * self.given[i]);
        }
        self.solve(a, &mut right, &mut mid);
        let (w1, w0) = (1.0 / (GAMMA * (2.0 - GAMMA)), (1.0 - GAMMA).powi(2) / (GAMMA * (2.0 - GAMMA)));
        for i in 0..n {
            right[i] = capacity[i] * (mid[i] * w1 - old[i] * w0) + a * self.given[i];
        }
        self.solve(a, &mut right, &mut state.t);
        (self.right, self.mid, self.old) = (right, mid, old);
        self.follow(state, h);
        self.last = Some(h);
    }

    /// Blood flow at the middle of the step, from the temperature carried on from the step before.
    fn mid_flow(&mut self, state: &State, h: f64) {
        self.flow.copy_from_slice(&state.m);
        if let Flow::Follows { curves, lag, recover } = self.problem.flow {
            let (fast, slow) = ((-0.5 * h / lag).exp(), (-0.5 * h / recover).exp());
            let ahead = self.last.map_or(0.0, |last| 0.5 * h / last);
            for (i, m) in self.flow.iter_mut().enumerate() {
                if let Some(curve) = curves.get(i).copied().flatten() {
                    let t = state.t[i] + (state.t[i] - self.old[i]) * ahead;
                    *m = toward(*m, curve.at(t), fast, slow);
                }
            }
        }
    }

    fn follow(&self, state: &mut State, h: f64) {
        if let Flow::Follows { curves, lag, recover } = self.problem.flow {
            let (fast, slow) = ((-h / lag).exp(), (-h / recover).exp());
            for (i, m) in state.m.iter_mut().enumerate() {
                if let Some(curve) = curves.get(i).copied().flatten() {
                    *m = toward(*m, curve.at(0.5 * (self.old[i] + state.t[i])), fast, slow);
                }
            }
        }
    }

    /// Temperature of the face on the outer side of cell `i`, degC.
    pub fn outer_face(&self, state: &State, i: usize) -> f64 {
        let q = if i == 0 { self.inflow.0 - self.ends.0 * state.t[0] } else { self.between[i - 1] * (state.t[i - 1] - state.t[i]) };
        state.t[i] + q * self.problem.chain.half[i]
    }

    /// Heat that leaves cell `i` outward, W/m2.
    pub fn drawn(&self, state: &State, i: usize) -> f64 {
        if i == 0 { self.loss(state) } else { self.between[i - 1] * (state.t[i] - state.t[i - 1]) }
    }

    /// Heat that leaves through the outer end, W/m2.
    pub fn loss(&self, state: &State) -> f64 {
        state.t.first().map_or(0.0, |t| self.ends.0 * t - self.inflow.0)
    }
}

fn toward(m: f64, target: f64, fast: f64, slow: f64) -> f64 {
    let keep = if m < 1.0 && target > m { slow } else { fast };
    target + (m - target) * keep
}

/// Steps of a phase in s: small at the start, growing; the last is stretched so that no sliver remains.
///
/// `fine` divides every step.
pub fn steps(duration: f64, fine: f64) -> Vec<f64> {
    // Hours on end change slowly: no phase takes more than some 2000 steps.
    let most = if duration <= 60.0 { duration / 20.0 } else { (duration / 2000.0).max(8.0) } / fine;
    let mut h = (duration / 50.0).min(0.02) / fine;
    let ratio = 1.2_f64.powf(1.0 / fine);
    let mut out = Vec::new();
    let mut left = duration;
    while left > 0.0 {
        if left < 1.5 * h {
            out.push(left);
            break;
        }
        out.push(h);
        left -= h;
        h = (h * ratio).min(most);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_fill_the_phase_and_leave_no_sliver() {
        for duration in [0.1, 1.0, 5.0, 60.0, 61.0, 1200.0] {
            let all = steps(duration, 1.0);
            let sum: f64 = all.iter().sum();
            let last = all[all.len() - 1];
            assert!((sum - duration).abs() < 1e-9 && last >= 0.4 * all[all.len() - 2], "{duration}");
        }
        assert!(steps(0.0, 1.0).is_empty());
    }
}

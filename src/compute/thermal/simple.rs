//! Elementary problems, solved by the same chain and stepping as a whole run, so that closed-form
//! solutions can be held against them. Nothing here is used for a verdict.

use super::chain::{Chain, End, Fineness, growing};
use super::march::{Flow, Problem, Solver, State, steps};
use super::stack::{Material, Tissue};

/// Times finer than the production steps: elementary problems have sharper beginnings than packs.
const FINE: f64 = 4.0;

/// A body of one material that starts at one temperature.
#[derive(Clone, Debug, PartialEq)]
pub struct Uniform {
    /// Material; `perfusion` and `metabolic` may be 0.
    pub tissue: Tissue,
    /// Start, degC.
    pub start: f64,
    /// Arterial blood, degC.
    pub arterial: f64,
    /// Density times heat capacity of blood, J/(m3 K).
    pub blood: f64,
    /// What its outer face meets.
    pub outer: End,
    /// What its deep face meets.
    pub deep: End,
}

struct Cut {
    chain: Chain,
    widths: Vec<f64>,
}

impl Uniform {
    fn cut(&self) -> Cut {
        let t = &self.tissue;
        let widths = growing(t.thickness, t.thickness / 3e3, 1.03, t.thickness / 60.0, Fineness(1.0));
        let mut chain = Chain::default();
        chain.tissue(t, &widths, self.start, self.blood);
        Cut { chain, widths }
    }

    fn solver<'a>(&self, chain: &'a Chain) -> Solver<'a> {
        Solver::new(Problem { chain, arterial: self.arterial, outer: self.outer, deep: self.deep, flow: Flow::Fixed })
    }

    /// Temperature at a depth in m after a time in s, degC.
    pub fn after(&self, seconds: f64, depth: f64) -> f64 {
        let cut = self.cut();
        let mut solver = self.solver(&cut.chain);
        let mut state = State { t: cut.chain.start.clone(), m: vec![1.0; cut.chain.len()] };
        for h in steps(seconds, FINE) {
            solver.step(&mut state, h);
        }
        read(&cut.widths, &state.t, solver.outer_face(&state, 0), depth)
    }

    /// Steady temperature at a depth in m, degC.
    pub fn steady(&self, depth: f64) -> f64 {
        let cut = self.cut();
        let mut solver = self.solver(&cut.chain);
        let mut state = State { t: cut.chain.start.clone(), m: vec![1.0; cut.chain.len()] };
        solver.steady(&mut state);
        read(&cut.widths, &state.t, solver.outer_face(&state, 0), depth)
    }
}

/// Temperature at a depth, straight between the outer face and the centres of the cells.
fn read(widths: &[f64], t: &[f64], face: f64, depth: f64) -> f64 {
    let (mut x0, mut t0, mut from) = (0.0, face, 0.0);
    for (w, t1) in widths.iter().zip(t) {
        let x1 = from + w / 2.0;
        if depth <= x1 {
            return t0 + (t1 - t0) * (depth - x0) / (x1 - x0);
        }
        (x0, t0) = (x1, *t1);
        from += w;
    }
    t0
}

/// How deep a body must be so that its far end feels nothing within a time, m.
pub fn far(material: Material, seconds: f64) -> f64 {
    12.0 * (material.k / (material.rho * material.c) * seconds).sqrt()
}

/// Two deep bodies brought together: temperatures of the faces of the first and the second after a time, degC.
pub fn contact(first: (Material, f64), second: (Material, f64), joint: Option<f64>, seconds: f64) -> (f64, f64) {
    let cut = |m: Material| {
        let deep = far(m, seconds);
        growing(deep, deep / 3e3, 1.03, deep / 60.0, Fineness(1.0))
    };
    let mut chain = Chain::default();
    let mut outer = cut(first.0);
    outer.reverse();
    chain.layer(first.0, &outer, first.1);
    chain.join(joint);
    let at = chain.len();
    chain.layer(second.0, &cut(second.0), second.1);
    let problem = Problem { chain: &chain, arterial: 0.0, outer: End::Insulated, deep: End::Insulated, flow: Flow::Fixed };
    let mut solver = Solver::new(problem);
    let mut state = State { t: chain.start.clone(), m: vec![1.0; chain.len()] };
    for h in steps(seconds, FINE) {
        solver.step(&mut state, h);
    }
    let inner = solver.outer_face(&state, at);
    let outward = solver.drawn(&state, at);
    let before = state.t.get(at.wrapping_sub(1)).zip(chain.half.get(at.wrapping_sub(1)));
    (before.map_or(f64::NAN, |(t, half)| t + outward * half), inner)
}

/// One node of `capacity` J/(m2 K) with `power` W/m2 into it, losing `h` W/(m2 K) to the room: degC after a time.
pub fn lumped(capacity: f64, start: f64, power: f64, h: f64, room: f64, seconds: f64) -> f64 {
    let mut chain = Chain::default();
    chain.cell(capacity, 0.0, start);
    chain.source[0] = power;
    let problem = Problem { chain: &chain, arterial: 0.0, outer: End::Meets { h, at: room }, deep: End::Insulated, flow: Flow::Fixed };
    let mut solver = Solver::new(problem);
    let mut state = State { t: vec![start], m: vec![1.0] };
    for step in steps(seconds, FINE) {
        solver.step(&mut state, step);
    }
    state.t[0]
}

/// Steady flow through resistances in series (m2 K/W) from `hot` to `cold` degC, W/m2.
pub fn series(hot: f64, cold: f64, resistances: &[f64]) -> f64 {
    let mut chain = Chain::default();
    for r in resistances {
        chain.cell(1.0, r / 2.0, cold);
    }
    if chain.is_empty() {
        return f64::INFINITY;
    }
    let end = |at| End::Meets { h: f64::INFINITY, at };
    let mut solver = Solver::new(Problem { chain: &chain, arterial: 0.0, outer: end(hot), deep: end(cold), flow: Flow::Fixed });
    let mut state = State { t: chain.start.clone(), m: vec![1.0; chain.len()] };
    solver.steady(&mut state);
    -solver.loss(&state)
}

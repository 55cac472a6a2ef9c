//! A run from rest through its phases.

use super::chain::{Chain, End, Fineness, even, growing};
use super::history::{DEPTHS, History};
use super::march::{Flow, Problem, Solver, State, steps};
use super::stack::{Body, Curve, Meets, Perfusion, Phase, Response, Run, Tissue};

/// Cells of the tissue on the production grid: 4 in the epidermis, then growing inward.
fn widths(tissue: &Tissue, place: usize, fine: Fineness) -> Vec<f64> {
    let thickness = tissue.thickness;
    match (place, tissue.response) {
        (0, _) => even(thickness, thickness / 4.0, 4.0, fine),
        (_, Response::Fat) => growing(thickness, 1.2e-4, 1.15, 3.5e-4, fine),
        (_, Response::Muscle) => growing(thickness, 3.5e-4, 1.12, 1.4e-3, fine),
        _ => growing(thickness, 2.4e-5, 1.2, 1.2e-4, fine),
    }
}

/// The body cut into cells, and where its faces are.
#[derive(Clone, Debug)]
pub struct Cut {
    chain: Chain,
    /// First cell of each tissue.
    first: Vec<usize>,
    /// Depth of the centre of each cell below the skin, m.
    centre: Vec<f64>,
    response: Vec<Response>,
}

impl Cut {
    /// Cuts a body.
    pub fn new(body: &Body, fine: Fineness) -> Cut {
        let mut cut = Cut { chain: Chain::default(), first: Vec::new(), centre: Vec::new(), response: Vec::new() };
        let mut depth = 0.0;
        for (place, tissue) in body.tissue.iter().enumerate() {
            let widths = widths(tissue, place, fine);
            cut.first.push(cut.chain.len());
            cut.chain.tissue(tissue, &widths, body.core, body.blood);
            for w in widths {
                cut.centre.push(depth + w / 2.0);
                cut.response.push(tissue.response);
                depth += w;
            }
        }
        cut
    }

    fn curves<'a>(&self, run: &'a Run, outside: usize) -> Vec<Option<&'a Curve>> {
        let own = self.response.iter().map(|r| if run.perfusion == Perfusion::Responsive { run.responses.of(*r) } else { None });
        std::iter::repeat_n(None, outside).chain(own).collect()
    }

    /// Temperature at a depth below the skin, degC; the skin's value above the first centre.
    fn at_depth(&self, depth: f64, tissue: &[f64]) -> f64 {
        let i = self.centre.partition_point(|c| *c < depth);
        let pick = |i: usize| self.centre.get(i).copied().zip(tissue.get(i).copied());
        match (pick(i.wrapping_sub(1)), pick(i)) {
            (Some((x0, t0)), Some((x1, t1))) => t0 + (t1 - t0) * (depth - x0) / (x1 - x0),
            (Some((_, t)), None) | (None, Some((_, t))) => t,
            (None, None) => f64::NAN,
        }
    }
}

/// Temperatures of bare skin in the room, before any contact.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rest {
    /// Skin surface, degC.
    pub skin: f64,
    /// Basal layer, degC.
    pub basal: f64,
    /// Face between dermis and fat, degC.
    pub dermis_fat: f64,
    /// Face between fat and muscle, degC.
    pub fat_muscle: f64,
    /// Heat that leaves the skin, W/m2.
    pub loss: f64,
}

/// How finely a run is cut in space and time: 1 and 1 is production.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Resolution {
    /// Divides cells.
    pub space: f64,
    /// Divides steps.
    pub time: f64,
}

/// What pages, cards and checks are made from.
pub const PRODUCTION: Resolution = Resolution { space: 1.0, time: 1.0 };

/// How much work a run is, in cells times steps: some thousand of them take a millisecond.
pub fn work(run: &Run) -> f64 {
    let count = |widths: Vec<f64>| f64::from(u32::try_from(widths.len()).unwrap_or(u32::MAX));
    let fine = Fineness(PRODUCTION.space);
    let tissue: f64 = run.body.tissue.iter().enumerate().map(|(i, t)| count(widths(t, i, fine))).sum();
    let phase = |p: &Phase| {
        let covers = match &p.meets {
            Meets::Bare { .. } => 0.0,
            // A slab has some forty cells.
            Meets::Covered { covers, .. } => covers.iter().map(|c| (c.thickness / 3e-4).ceil().max(3.0)).sum::<f64>() + 40.0,
        };
        (tissue + covers) * count(steps(p.duration, PRODUCTION.time))
    };
    run.phases.iter().map(phase).sum()
}

struct Runner<'a> {
    run: &'a Run,
    cut: Cut,
    state: State,
    out: History,
}

/// Bare skin at rest.
pub fn rest(run: &Run, resolution: Resolution) -> Rest {
    Runner::new(run, resolution).1
}

/// Runs all phases.
pub fn run(run: &Run, resolution: Resolution) -> History {
    let (mut runner, rest) = Runner::new(run, resolution);
    runner.record_rest(&rest);
    if run.perfusion == Perfusion::None {
        runner.state.m.fill(0.0);
    }
    for phase in &run.phases {
        runner.phase(phase, resolution);
    }
    runner.out
}

impl<'a> Runner<'a> {
    fn new(run: &'a Run, resolution: Resolution) -> (Runner<'a>, Rest) {
        let cut = Cut::new(&run.body, Fineness(resolution.space));
        let n = cut.chain.len();
        let mut state = State { t: vec![run.body.core; n], m: vec![1.0; n] };
        let curves = cut.curves(run, 0);
        let outer = End::Meets { h: run.body.rest_skin, at: run.body.room };
        let mut solver = Solver::new(problem(run, &cut.chain, outer, &curves));
        solver.steady(&mut state);
        let face = |i: usize| cut.first.get(i).map_or(f64::NAN, |c| solver.outer_face(&state, *c));
        let rest = Rest { skin: face(0), basal: face(1), dermis_fat: face(2), fat_muscle: face(3), loss: solver.loss(&state) };
        (Runner { run, cut, state, out: History::default() }, rest)
    }

    fn phase(&mut self, phase: &Phase, resolution: Resolution) {
        let mut chain = Chain::default();
        let outer = match &phase.meets {
            Meets::Bare { h, at } => End::Meets { h: *h, at: *at },
            Meets::Covered { pack, covers, cover_start, outer } => {
                let room = End::Meets { h: *outer, at: self.run.body.room };
                chain.outside(pack.as_ref(), covers, *cover_start, room, Fineness(resolution.space))
            }
        };
        let outside = chain.len();
        let mut state = State { t: chain.start.clone(), m: vec![1.0; outside] };
        state.t.append(&mut self.state.t);
        state.m.append(&mut self.state.m);
        chain.append(&self.cut.chain);
        let curves = self.cut.curves(self.run, outside);
        let mut solver = Solver::new(problem(self.run, &chain, outer, &curves));
        let start = self.out.t.last().copied().unwrap_or(0.0);
        let mut t = 0.0;
        for h in steps(phase.duration, resolution.time) {
            let before = solver.drawn(&state, outside);
            solver.step(&mut state, h);
            t += h;
            self.out.drawn += 0.5 * h * (before + solver.drawn(&state, outside));
            self.record(start + t, &solver, &state, outside);
        }
        self.out.ends.push(start + t);
        self.state = State { t: state.t.split_off(outside), m: state.m.split_off(outside) };
    }

    fn record_rest(&mut self, rest: &Rest) {
        let tissue = self.state.t.clone();
        self.push(0.0, [rest.skin, rest.basal, rest.dermis_fat], &tissue);
    }

    fn record(&mut self, t: f64, solver: &Solver<'_>, state: &State, outside: usize) {
        let face = |i: usize| self.cut.first.get(i).map_or(f64::NAN, |c| solver.outer_face(state, outside + c));
        let faces = [face(0), face(1), face(2)];
        self.push(t, faces, state.t.get(outside..).unwrap_or_default());
    }

    fn push(&mut self, t: f64, [skin, basal, dermis_fat]: [f64; 3], tissue: &[f64]) {
        let out = &mut self.out;
        out.t.push(t);
        out.skin.push(skin);
        out.basal.push(basal);
        out.dermis_fat.push(dermis_fat);
        for (depth, list) in DEPTHS.iter().zip(&mut out.depths) {
            list.push(self.cut.at_depth(*depth, tissue));
        }
        let to_muscle: f64 = self.run.body.tissue.iter().take(3).map(|t| t.thickness).sum();
        out.muscle_1cm.push(self.cut.at_depth(to_muscle + 0.01, tissue));
    }
}

fn problem<'a>(run: &'a Run, chain: &'a Chain, outer: End, curves: &'a [Option<&'a Curve>]) -> Problem<'a> {
    let flow = match run.perfusion {
        Perfusion::Responsive => Flow::Follows { curves, lag: run.responses.lag, recover: run.responses.lag_recover },
        Perfusion::Basal | Perfusion::None => Flow::Fixed,
    };
    let deep = End::Meets { h: f64::INFINITY, at: run.body.core };
    Problem { chain, arterial: run.body.core, outer, deep, flow }
}

//! Damage integrals and crossings over a temperature history. Straight lines between its points.
//!
//! The rate constants are data (`Arrhenius`, `TwoRange`); which of them a verdict rests on is decided
//! in the scenarios. Henriques: E/R is 75,000 K. The pair of SI constants that looks the same makes
//! every time five times longer and is here for comparison only.

use super::stack::KELVIN;

/// A rate `a exp(-e_over_r / T)` in 1/s, T in K.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arrhenius {
    /// Factor, 1/s.
    pub a: f64,
    /// Activation energy over the gas constant, K.
    pub e_over_r: f64,
}

/// Henriques 1947 as it is used with 150 kcal/mol over 2 cal/(mol K) (via secondary sources).
pub const HENRIQUES: Arrhenius = Arrhenius { a: 3.1e98, e_over_r: 75_000.0 };

/// The same with 6.28e8 J/kmol over 8314.47 J/(kmol K): a named variant for comparison, never a verdict.
pub const HENRIQUES_SI: Arrhenius = Arrhenius { a: 3.1e98, e_over_r: 6.28e8 / 8314.47 };

impl Arrhenius {
    /// Rate at a temperature in degC, 1/s. Computed with one exponential, so that neither factor overflows.
    pub fn rate(&self, t: f64) -> f64 {
        (self.a.ln() - self.e_over_r / (t + KELVIN)).exp()
    }
}

/// A rate with two ranges of temperature, zero below the first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TwoRange {
    /// Where the lower range begins, degC.
    pub from: f64,
    /// Where the upper range begins, degC.
    pub switch: f64,
    /// Lower range.
    pub low: Arrhenius,
    /// Upper range.
    pub high: Arrhenius,
}

/// Weaver and Stoll, as in ASTM F1930 (via secondary sources): a blister criterion for seconds of strong heat.
pub const TWO_RANGE: TwoRange = TwoRange {
    from: 44.0,
    switch: 50.0,
    low: Arrhenius { a: 2.185e124, e_over_r: 93_534.9 },
    high: Arrhenius { a: 1.823e51, e_over_r: 39_109.8 },
};

/// Takata, at the face between dermis and fat (via secondary sources).
pub const TWO_RANGE_DERMAL: TwoRange = TwoRange {
    from: 44.0,
    switch: 50.0,
    low: Arrhenius { a: 4.322e64, e_over_r: 50_000.0 },
    high: Arrhenius { a: 9.389e104, e_over_r: 80_000.0 },
};

impl TwoRange {
    /// Rate at a temperature in degC, 1/s.
    pub fn rate(&self, t: f64) -> f64 {
        if t < self.from {
            0.0
        } else if t < self.switch {
            self.low.rate(t)
        } else {
            self.high.rate(t)
        }
    }
}

/// Equivalent minutes at 43 degC for each minute (Sapareto and Dewey 1984): R is 0.5 from 43 degC, 0.25
/// from 39 to 43 degC, nothing below.
pub fn cem43_rate(t: f64) -> f64 {
    if t < 39.0 {
        0.0
    } else if t < 43.0 {
        0.25_f64.powf(43.0 - t)
    } else {
        0.5_f64.powf(43.0 - t)
    }
}

/// A rate whose integral is wanted, with the temperatures at which it jumps or bends.
#[derive(Clone, Copy, Debug)]
pub enum Dose {
    /// Henriques, dimensionless.
    Burn(Arrhenius),
    /// Two ranges, dimensionless.
    Blister(TwoRange),
    /// Equivalent minutes at 43 degC.
    Cem43,
}

impl Dose {
    /// Rate at a temperature in degC; 1/s, for `Cem43` minutes per second.
    pub fn rate(&self, t: f64) -> f64 {
        match self {
            Dose::Burn(a) => a.rate(t),
            Dose::Blister(two) => two.rate(t),
            Dose::Cem43 => cem43_rate(t) / 60.0,
        }
    }

    fn breaks(&self) -> &'static [f64] {
        match self {
            Dose::Burn(_) => &[],
            Dose::Blister(_) => &[44.0, 50.0],
            Dose::Cem43 => &[39.0, 43.0],
        }
    }

    /// Integral over a straight piece from `t0` to `t1` degC in `h` s.
    fn piece(&self, t0: f64, t1: f64, h: f64) -> f64 {
        // Rates jump at the breaks: the rate of a piece is that of its inside.
        let nudge = (t1 - t0) * 1e-9;
        let (r0, r1) = (self.rate(t0 + nudge), self.rate(t1 - nudge));
        if r0 <= 0.0 || r1 <= 0.0 || ((r1 - r0) / (r1 + r0)).abs() < 1e-6 { h * 0.5 * (r0 + r1) } else { h * (r1 - r0) / (r1 / r0).ln() }
    }
}

/// Points in time and their temperatures: s and degC, times rising.
#[derive(Clone, Copy, Debug)]
pub struct Line<'a> {
    /// Times, s.
    pub t: &'a [f64],
    /// Temperatures, degC.
    pub temp: &'a [f64],
}

/// A straight piece of a line.
#[derive(Clone, Copy, Debug)]
struct Piece {
    at: f64,
    h: f64,
    t0: f64,
    t1: f64,
}

/// Pieces are at most this wide, so that a rate is close to exponential inside; K.
const WIDEST: f64 = 0.5;

impl Line<'_> {
    fn segments(&self) -> impl Iterator<Item = Piece> + '_ {
        let ends = self.t.iter().zip(self.temp);
        ends.clone().zip(ends.skip(1)).map(|((a, t0), (b, t1))| Piece { at: *a, h: b - a, t0: *t0, t1: *t1 })
    }

    /// Pieces cut at the given temperatures and at `WIDEST`.
    fn pieces(&self, breaks: &[f64]) -> Vec<Piece> {
        let mut out = Vec::new();
        for s in self.segments() {
            let span = s.t1 - s.t0;
            let parts = (span.abs() / WIDEST).ceil().max(1.0);
            let mut cuts: Vec<f64> = Vec::new();
            let mut i = 0.0;
            while i <= parts {
                cuts.push(i / parts);
                i += 1.0;
            }
            cuts.extend(breaks.iter().map(|b| (b - s.t0) / span).filter(|x| *x > 0.0 && *x < 1.0));
            cuts.sort_by(f64::total_cmp);
            for (a, b) in cuts.iter().zip(cuts.iter().skip(1)).filter(|(a, b)| b > a) {
                out.push(Piece { at: s.at + a * s.h, h: (b - a) * s.h, t0: s.t0 + a * span, t1: s.t0 + b * span });
            }
        }
        out
    }

    /// The integral of a dose over the whole line.
    pub fn total(&self, dose: Dose) -> f64 {
        self.pieces(dose.breaks()).iter().map(|p| dose.piece(p.t0, p.t1, p.h)).sum()
    }

    /// When the integral reaches a limit, s; `None` if it never does.
    pub fn reaches(&self, dose: Dose, limit: f64) -> Option<f64> {
        let mut sum = 0.0;
        for p in self.pieces(dose.breaks()) {
            let more = dose.piece(p.t0, p.t1, p.h);
            if sum + more >= limit && more > 0.0 {
                return Some(p.at + p.h * (limit - sum) / more);
            }
            sum += more;
        }
        None
    }

    /// Time above a level, s.
    pub fn above(&self, level: f64) -> f64 {
        self.segments().map(|p| p.h * share_above(p.t0, p.t1, level)).sum()
    }

    /// When the time above a level adds up to `seconds`, s.
    pub fn above_for(&self, level: f64, seconds: f64) -> Option<f64> {
        let mut sum = 0.0;
        for p in self.segments() {
            let more = p.h * share_above(p.t0, p.t1, level);
            if more > 0.0 && sum + more >= seconds {
                return Some(p.at + p.h);
            }
            sum += more;
        }
        None
    }

    /// Time below a level, s.
    pub fn below(&self, level: f64) -> f64 {
        self.segments().map(|p| p.h * share_above(-p.t0, -p.t1, -level)).sum()
    }

    /// When the line first rises to a level, s.
    pub fn rises_to(&self, level: f64) -> Option<f64> {
        first(self.segments(), |t| t - level)
    }

    /// When the line first falls to a level, s.
    pub fn falls_to(&self, level: f64) -> Option<f64> {
        first(self.segments(), |t| level - t)
    }

    /// When the line rises to a level for the first time after `from` s, counted from there.
    pub fn back_to(&self, level: f64, from: f64) -> Option<f64> {
        first(self.segments().filter(|p| p.at >= from - 1e-9), |t| t - level).map(|t| t - from)
    }

    /// Temperature at a time, degC; level beyond the ends.
    pub fn at(&self, t: f64) -> Option<f64> {
        if self.t.first().is_some_and(|x| t <= *x) {
            return self.temp.first().copied();
        }
        // The steps are many and sorted.
        let i = self.t.partition_point(|x| *x < t);
        match (self.t.get(i), self.temp.get(i), self.t.get(i.wrapping_sub(1)), self.temp.get(i.wrapping_sub(1))) {
            (Some(t1), Some(y1), Some(t0), Some(y0)) if t1 > t0 => Some(y0 + (y1 - y0) * (t - t0) / (t1 - t0)),
            _ => self.temp.last().copied(),
        }
    }

    /// Highest temperature, degC; `None` for an empty line.
    pub fn highest(&self) -> Option<f64> {
        self.temp.iter().copied().reduce(f64::max)
    }

    /// Lowest temperature, degC; `None` for an empty line.
    pub fn lowest(&self) -> Option<f64> {
        self.temp.iter().copied().reduce(f64::min)
    }
}

fn share_above(t0: f64, t1: f64, level: f64) -> f64 {
    match (t0 > level, t1 > level) {
        (true, true) => 1.0,
        (false, false) => 0.0,
        (true, false) => (t0 - level) / (t0 - t1),
        (false, true) => (t1 - level) / (t1 - t0),
    }
}

/// First time at which `over` is not negative.
fn first(segments: impl Iterator<Item = Piece>, over: impl Fn(f64) -> f64) -> Option<f64> {
    for p in segments {
        let (a, b) = (over(p.t0), over(p.t1));
        if a >= 0.0 {
            return Some(p.at);
        }
        if b >= 0.0 {
            return Some(p.at + p.h * -a / (b - a));
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn crossings_are_found_inside_a_piece() {
        let line = Line { t: &[0.0, 10.0, 20.0], temp: &[30.0, 50.0, 30.0] };
        assert_eq!(line.rises_to(43.0), Some(6.5));
        assert_eq!(line.falls_to(30.0), Some(0.0));
        assert!((line.above(43.0) - 7.0).abs() < 1e-12 && (line.below(40.0) - 10.0).abs() < 1e-12);
        assert_eq!(line.rises_to(60.0), None);
        assert_eq!(line.at(15.0), Some(40.0));
        assert_eq!(line.at(99.0), Some(30.0));
        assert_eq!(Line { t: &[], temp: &[] }.at(1.0), None);
    }

    #[test]
    fn sixty_minutes_at_43_are_sixty_minutes() {
        // Sapareto and Dewey 1984: the definition of the unit, and its halving above and quartering below.
        for (t, factor) in [(43.0, 1.0), (44.0, 2.0), (45.0, 4.0), (42.0, 0.25), (41.0, 0.0625), (38.9, 0.0)] {
            let got = Line { t: &[0.0, 3600.0], temp: &[t, t] }.total(Dose::Cem43);
            assert!((got - 60.0 * factor).abs() < 1e-6, "{t}: {got}");
        }
    }
}

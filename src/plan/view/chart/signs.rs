//! Small signs on a view: the arrow of a sweep, and the squares of zones, set where they hide no number.

use super::Ring;
use super::panel::round;
use crate::compute::chart::cover::line as straight;
use crate::model::chart::Line;

/// Half of what a number takes up, in units of the panel, with a little air.
const HALF: f64 = 1.9;
/// A square that hides a number goes this many radii from the middle of the ring.
const ASIDE: f64 = 1.6;

/// Parts of a line at which its arrow may stand, best first.
const STANDS: [f64; 7] = [0.5, 0.6, 0.4, 0.7, 0.3, 0.8, 0.2];

/// Triangles on lines, pointing along them: in the middle, since arrows at the ends of lines that run together
/// would merge, or as near to it as no number hides them. `flip` is true if the rings are mirrored already.
pub(super) fn arrows<'l>(lines: impl Iterator<Item = &'l Line>, rings: &[Ring], flip: bool, unit: f64) -> Vec<String> {
    let side = if flip { -1.0 } else { 1.0 };
    let hidden = |at: &Stand| rings.iter().any(|r| (r.x - side * at.x).hypot(r.y - at.y) < 1.4 * HALF * unit);
    let best = |line: &Line| {
        let all: Vec<Stand> = STANDS.iter().filter_map(|part| stand(line, *part)).collect();
        all.iter().find(|s| !hidden(s)).or(all.first()).map(|s| s.triangle(unit))
    };
    lines.filter_map(best).collect()
}

/// A place on a line and the direction there.
struct Stand {
    x: f64,
    y: f64,
    dx: f64,
    dy: f64,
}

impl Stand {
    fn triangle(&self, unit: f64) -> String {
        let corner = |along: f64, across: f64| {
            let (x, y) = (self.dx * along - self.dy * across, self.dy * along + self.dx * across);
            format!("{} {}", round(self.x + unit * x), round(self.y + unit * y))
        };
        format!("M{}L{}L{}Z", corner(0.9, 0.0), corner(-0.7, 0.65), corner(-0.7, -0.65))
    }
}

fn stand(line: &Line, part: f64) -> Option<Stand> {
    let pieces: Vec<geo::Line> = straight(line).lines().filter(|l| length(l) > 0.0).collect();
    let mut left = pieces.iter().map(length).sum::<f64>() * part;
    for piece in pieces {
        let long = length(&piece);
        if left > long {
            left -= long;
            continue;
        }
        let (dx, dy) = ((piece.end.x - piece.start.x) / long, (piece.end.y - piece.start.y) / long);
        return Some(Stand { x: piece.start.x + dx * left, y: piece.start.y + dy * left, dx, dy });
    }
    None
}

fn length(line: &geo::Line) -> f64 {
    (line.end.x - line.start.x).hypot(line.end.y - line.start.y)
}

/// Moves squares away from numbers of rings and from each other, as near to their place as there is room.
pub(super) fn set_aside(squares: Vec<Ring>, rings: &[Ring], unit: f64) -> Vec<Ring> {
    let mut out: Vec<Ring> = Vec::new();
    for square in squares {
        let taken: Vec<(f64, f64, f64)> = rings.iter().chain(&out).map(|r| (r.x, r.y, r.radius)).collect();
        let (x, y) = free(&square, &taken, unit);
        out.push(Ring { x: round(x), y: round(y), ..square });
    }
    out
}

fn free(square: &Ring, taken: &[(f64, f64, f64)], unit: f64) -> (f64, f64) {
    let own = (square.x, square.y);
    let hides = |at: (f64, f64)| taken.iter().find(|t| (t.0 - at.0).abs() < 2.0 * HALF * unit && (t.1 - at.1).abs() < 2.0 * HALF * unit);
    let Some(first) = hides(own) else { return own };
    let far = (ASIDE * first.2).max(2.1 * HALF * unit);
    // Away from the ring first, then to the sides of that way; twice as far if nothing nearer is free.
    let away = if (own.0 - first.0).hypot(own.1 - first.1) < 1e-6 { 0.0 } else { (own.1 - first.1).atan2(own.0 - first.0) };
    let ways = [0.0_f64, 45.0, -45.0, 90.0, -90.0, 135.0, -135.0, 180.0];
    let at = |turn: f64, far: f64| {
        let way = away + turn.to_radians();
        // On the diagonal a square is as far off as on the straight only at the corner of a square.
        let stretch = 1.0 / way.cos().abs().max(way.sin().abs());
        (first.0 + far * stretch * way.cos(), first.1 + far * stretch * way.sin())
    };
    [far, 2.0 * far].into_iter().flat_map(|far| ways.map(|turn| at(turn, far))).find(|c| hides(*c).is_none()).unwrap_or(own)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(x: f64, y: f64, radius: f64) -> Ring {
        Ring { number: 1, x, y, radius }
    }

    #[test]
    fn a_square_hides_no_number_and_no_other_square() {
        for (x, y) in [(10.0, 10.0), (11.0, 10.5), (9.0, 12.0)] {
            let rings = [ring(10.0, 10.0, 2.7), ring(14.5, 10.0, 2.7)];
            let out = set_aside(vec![ring(x, y, 0.0), ring(x, y, 0.0)], &rings, 1.0);
            let all: Vec<&Ring> = rings.iter().chain(&out).collect();
            for (i, a) in all.iter().enumerate() {
                for b in &all[..i] {
                    assert!((a.x - b.x).abs().max((a.y - b.y).abs()) > 3.5, "{all:?}");
                }
            }
        }
        let [far] = &set_aside(vec![ring(30.0, 30.0, 0.0)], &[ring(10.0, 10.0, 2.7)], 1.0)[..] else { panic!() };
        assert!((far.x, far.y) == (30.0, 30.0), "moved without need");
    }
}

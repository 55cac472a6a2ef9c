//! Small signs on a view: the arrow of a sweep, and the squares of zones, set where they hide no number.

use super::Ring;
use super::panel::round;
use crate::compute::chart::cover::line as straight;
use crate::model::chart::Line;

/// Half of what a number takes up, in units of the panel, with a little air.
const HALF: f64 = 1.9;
/// A square that hides a number goes this many radii from the middle of the ring.
const ASIDE: f64 = 1.6;

/// A triangle in the middle of a line, pointing along it. At the ends of lines that run together, arrows would
/// merge.
pub(super) fn arrow(line: &Line, unit: f64) -> Option<String> {
    let pieces: Vec<geo::Line> = straight(line).lines().filter(|l| length(l) > 0.0).collect();
    let mut left = pieces.iter().map(length).sum::<f64>() / 2.0;
    for piece in pieces {
        let long = length(&piece);
        if left > long {
            left -= long;
            continue;
        }
        let (dx, dy) = ((piece.end.x - piece.start.x) / long, (piece.end.y - piece.start.y) / long);
        let (x, y) = (piece.start.x + dx * left, piece.start.y + dy * left);
        let corner = |along: f64, across: f64| {
            format!("{} {}", round(x + unit * (dx * along - dy * across)), round(y + unit * (dy * along + dx * across)))
        };
        return Some(format!("M{}L{}L{}Z", corner(0.9, 0.0), corner(-0.7, 0.65), corner(-0.7, -0.65)));
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

//! Small signs on a view: the numbers of rings, set where no other ring crosses them, and the arrow of a sweep and the
//! squares of zones, set where they hide no number.

use super::Ring;
use super::panel::round;
use crate::compute::chart::cover::line as straight;
use crate::model::chart::Line;

/// Half of what a number takes up, in units of the panel, with a little air.
const HALF: f64 = 1.9;
/// A square that hides a number goes this many radii from the middle of the ring.
const ASIDE: f64 = 1.6;

/// A number this near to the edge of a ring, in units of the panel, is crossed by it.
const CROSSED: f64 = 1.4;
/// Turns from the straight way off something, nearest first, degrees.
const TURNS: [f64; 8] = [0.0, 45.0, -45.0, 90.0, -90.0, 135.0, -135.0, 180.0];

/// Parts of a line at which its arrow may stand, best first.
const STANDS: [f64; 7] = [0.5, 0.6, 0.4, 0.7, 0.3, 0.8, 0.2];

/// Numbers of rings: in the middle of the ring, unless the edge of another ring or another number would meet it there;
/// else off that ring, inside their own or just outside. Those that can stay in the middle are set first.
pub(super) fn numbers(rings: &[Ring], unit: f64) -> Vec<Ring> {
    let near = CROSSED * unit;
    let off = |r: &Ring, at: (f64, f64)| (r.x - at.0).hypot(r.y - at.1);
    let free = |at: (f64, f64), set: &[Option<(f64, f64)>]| {
        let crossed = rings.iter().any(|r| (off(r, at) - r.radius).abs() < near - 1e-6);
        !crossed && set.iter().flatten().all(|n| (n.0 - at.0).hypot(n.1 - at.1) > 2.0 * near)
    };
    let mut set: Vec<Option<(f64, f64)>> = vec![None; rings.len()];
    for middle in [true, false] {
        for (i, ring) in rings.iter().enumerate() {
            let own = (ring.x, ring.y);
            let found = if middle {
                Some(own).filter(|at| free(*at, &set))
            } else if set.get(i).is_some_and(Option::is_none) {
                // In a ring of another point a number would be taken for that point's.
                let all = asides(ring, rings, near);
                let alone = |at: &(f64, f64)| rings.iter().enumerate().all(|(j, r)| i == j || off(r, *at) > r.radius);
                let open: Vec<(f64, f64)> = all.into_iter().filter(|at| free(*at, &set)).collect();
                open.iter().find(|at| alone(at)).or(open.first()).copied().or(Some(own))
            } else {
                continue;
            };
            if let Some(place) = set.get_mut(i) {
                *place = found;
            }
        }
    }
    let moved = |(r, at): (&Ring, Option<(f64, f64)>)| at.map(|(x, y)| Ring { x: round(x), y: round(y), ..r.clone() });
    rings.iter().zip(set).filter_map(moved).collect()
}

/// Places of a number away from the middle of its ring, best first: off the nearest other ring, inside, then outside.
fn asides(ring: &Ring, rings: &[Ring], near: f64) -> Vec<(f64, f64)> {
    let gap = |r: &Ring| (r.x - ring.x).hypot(r.y - ring.y);
    let others = rings.iter().filter(|r| gap(r) > 1e-6);
    let nearest = others.min_by(|a, b| gap(a).total_cmp(&gap(b)));
    let away = nearest.map_or(0.0, |r| (ring.y - r.y).atan2(ring.x - r.x));
    let at = |far: f64, turn: f64| {
        let way = away + turn.to_radians();
        (ring.x + far * way.cos(), ring.y + far * way.sin())
    };
    let far = [ring.radius - near, (ring.radius - near) / 2.0, ring.radius + near];
    far.into_iter().filter(|far| *far > 0.0).flat_map(|far| TURNS.map(|turn| at(far, turn))).collect()
}

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
    let at = |turn: f64, far: f64| {
        let way = away + turn.to_radians();
        // On the diagonal a square is as far off as on the straight only at the corner of a square.
        let stretch = 1.0 / way.cos().abs().max(way.sin().abs());
        (first.0 + far * stretch * way.cos(), first.1 + far * stretch * way.sin())
    };
    [far, 2.0 * far].into_iter().flat_map(|far| TURNS.map(|turn| at(turn, far))).find(|c| hides(*c).is_none()).unwrap_or(own)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(x: f64, y: f64, radius: f64) -> Ring {
        Ring { number: 1, x, y, radius }
    }

    #[test]
    fn no_ring_crosses_the_number_of_another() {
        for rings in [
            vec![ring(10.0, 10.0, 2.7), ring(11.8, 11.0, 2.7)],
            vec![ring(10.0, 10.0, 2.7), ring(12.7, 10.0, 2.7), ring(10.0, 12.7, 2.7)],
            vec![ring(10.0, 10.0, 1.0), ring(11.5, 10.0, 1.0)],
            vec![ring(10.0, 10.0, 2.7), ring(10.3, 10.0, 2.7)],
        ] {
            let out = numbers(&rings, 0.67);
            for (i, n) in out.iter().enumerate() {
                let off = |r: &Ring| ((r.x - n.x).hypot(r.y - n.y) - r.radius).abs();
                let other = rings.iter().enumerate().filter(|(j, _)| *j != i).map(|(_, r)| off(r));
                assert!(other.fold(f64::INFINITY, f64::min) > 0.9, "{out:?}");
                assert!(out[..i].iter().all(|o| (o.x - n.x).hypot(o.y - n.y) > 1.8), "{out:?}");
            }
        }
        let inside = numbers(&[ring(10.0, 10.0, 2.7), ring(11.8, 11.0, 2.7)], 0.67);
        assert!((inside[0].x - 10.0).hypot(inside[0].y - 10.0) < 2.7 && inside[0].x < 10.0, "{inside:?}");
    }

    #[test]
    fn a_number_that_nothing_crosses_stays_in_the_middle() {
        let rings = [ring(10.0, 10.0, 2.7), ring(16.0, 10.0, 2.7), ring(13.0, 14.5, 1.0)];
        assert!(numbers(&rings, 0.67).iter().zip(&rings).all(|(n, r)| (n.x, n.y) == (r.x, r.y)));
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

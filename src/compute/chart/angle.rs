//! The angle between a line and the fibres of a muscle.

use super::cover::{line, polygon};
use super::sweep::NEAR;
use crate::model::docs::MuscleDrawing;
use geo::{Coord, Distance, Euclidean, Line, LineString, LinesIter, Point};

/// Distance between two looks along a line, cm.
const STEP: f64 = 0.5;

/// Mean angle between a line and the nearest fibre, degrees from 0 (along) to 90 (across), over that part
/// of the line that runs over the muscle; `None` if no fibre is drawn or the line does not run there.
pub fn mean(drawing: &MuscleDrawing, path: &LineString) -> Option<f64> {
    let fibres: Vec<Line> = drawing.fibres.iter().flat_map(|f| line(f).lines_iter().collect::<Vec<_>>()).collect();
    let belly = drawing.outline.as_ref().map(polygon);
    let (mut sum, mut count) = (0.0, 0.0);
    for piece in path.lines_iter() {
        for at in along(piece) {
            let distance = |f: &Line| Euclidean.distance(&at, f);
            let over = match &belly {
                Some(belly) => Euclidean.distance(&at, belly) <= 0.0,
                None => fibres.iter().any(|f| distance(f) <= NEAR),
            };
            let nearest = fibres.iter().filter(|f| f.start != f.end).min_by(|a, b| distance(a).total_cmp(&distance(b)));
            if let (true, Some(fibre)) = (over, nearest) {
                sum += between(piece.delta(), fibre.delta());
                count += 1.0;
            }
        }
    }
    (count > 0.0).then(|| sum / count)
}

/// Middles of short parts of a straight piece.
fn along(piece: Line) -> impl Iterator<Item = Point> {
    let delta = piece.delta();
    let parts = (delta.x.hypot(delta.y) / STEP).ceil().clamp(0.0, 1000.0);
    let n = (0..1000).take_while(move |i| f64::from(*i) < parts);
    n.map(move |i| {
        let t = (f64::from(i) + 0.5) / parts;
        Point::new(piece.start.x + t * delta.x, piece.start.y + t * delta.y)
    })
}

/// Angle between two directions whatever their sense, degrees.
fn between(a: Coord, b: Coord) -> f64 {
    let (cross, dot) = (a.x * b.y - a.y * b.x, a.x * b.x + a.y * b.y);
    cross.abs().atan2(dot.abs()).to_degrees()
}

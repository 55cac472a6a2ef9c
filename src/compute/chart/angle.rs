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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::chart::{Line as Written, Outline, ViewId, parse_points};
    use crate::model::docs::Ground;
    use crate::source::{FileId, Span, Spanned};

    fn written(text: &str) -> Written {
        let span = Span::new(FileId(0), 0, 0);
        let points = parse_points(text).unwrap().into_iter().map(|(p, _)| Spanned::new(p, span)).collect();
        Written { points, span }
    }

    fn drawing(fibres: &[&str]) -> MuscleDrawing {
        let belly = written("0 0, 10 0, 10 10, 0 10");
        MuscleDrawing {
            view: Spanned::new(ViewId::Back, belly.span),
            span: belly.span,
            outline: Some(Outline { points: belly.points, span: belly.span }),
            proximal: Vec::new(),
            distal: Vec::new(),
            fibres: fibres.iter().map(|f| written(f)).collect(),
            ground: Ground::default(),
            unread: false,
        }
    }

    #[test]
    fn the_angle_is_taken_over_the_muscle_whatever_the_sense() {
        for (fibres, path, wanted) in [
            (&["5 0, 5 10"][..], "4 1, 4 9", Some(0.0)),
            (&["5 0, 5 10"], "4 9, 4 1", Some(0.0)),
            (&["5 0, 5 10"], "1 5, 9 5", Some(90.0)),
            (&["5 0, 5 10"], "1 1, 9 9", Some(45.0)),
            // Beside the muscle it may run as it likes.
            (&["5 0, 5 10"], "4 1, 4 9.99, 4 30, 90 30", Some(0.0)),
            // The nearest fibre counts.
            (&["0 0, 0 10", "9 5, 10 5"], "1 1, 1 9", Some(0.0)),
            (&["5 0, 5 10"], "20 0, 20 10", None),
            (&[], "4 1, 4 9", None),
        ] {
            let found = mean(&drawing(fibres), &line(&written(path)));
            match (found, wanted) {
                (Some(found), Some(wanted)) => assert!((found - wanted).abs() < 1.0, "{path}: {found}"),
                _ => assert_eq!(found, wanted, "{path}"),
            }
        }
    }
}

//! Path data: from text to curves, to straight pieces, and back to short text.

use geo::{Coord, LineString};
use kurbo::{Affine, BezPath, PathEl, Point};

/// How far straight pieces may lie from the curve, cm.
const FLAT: f64 = 0.005;

/// Nodes nearer than this are one node, cm: the last digit that is printed.
pub(super) const SAME: f64 = 0.011;

/// A line as it is drawn and as it is reckoned with.
#[derive(Clone, Debug, Default)]
pub(super) struct Curve {
    /// Curves kept.
    pub drawn: BezPath,
    /// Straight pieces. They are made once for each arc, so that neighbours share them to the last digit.
    pub flat: Vec<Coord>,
}

impl Curve {
    /// Where it starts and ends; `None` if it is empty.
    pub(super) fn ends(&self) -> Option<(Coord, Coord)> {
        Some((*self.flat.first()?, *self.flat.last()?))
    }

    /// The same line from its end to its start.
    pub(super) fn backwards(&self) -> Curve {
        Curve { drawn: self.drawn.reverse_subpaths(), flat: self.flat.iter().rev().copied().collect() }
    }

    /// The mirror image on the other side of the midline.
    pub(super) fn mirrored(&self) -> Curve {
        let drawn = Affine::new([-1.0, 0.0, 0.0, 1.0, 0.0, 0.0]) * self.drawn.clone();
        Curve { drawn, flat: self.flat.iter().map(|c| Coord { x: -c.x, y: c.y }).collect() }
    }

    /// Adds a line to the end of another, whose last node is its first.
    pub(super) fn join(&mut self, next: &Curve) {
        let skip = usize::from(!self.flat.is_empty());
        self.drawn.extend(next.drawn.elements().iter().skip(skip).copied());
        self.flat.extend(next.flat.iter().skip(skip));
    }

    /// Short path data of the line, closed.
    pub(super) fn closed(mut self) -> (String, LineString) {
        self.drawn.close_path();
        let mut ring = LineString::new(self.flat);
        ring.close();
        (text(&self.drawn), ring)
    }
}

/// Reads path data with absolute M, L and C in one unbroken line.
pub(super) fn arc(data: &str) -> Result<Curve, String> {
    if let Some(c) = data.chars().find(|c| c.is_ascii_alphabetic() && !matches!(c, 'M' | 'L' | 'C')) {
        return Err(format!("`{c}` in path data, and only M, L and C are read"));
    }
    let drawn = BezPath::from_svg(data).map_err(|e| e.to_string())?;
    let moves = drawn.elements().iter().filter(|e| matches!(e, PathEl::MoveTo(_))).count();
    if moves != 1 || drawn.elements().len() < 2 {
        return Err("an arc is one line from node to node".into());
    }
    let mut flat = Vec::new();
    kurbo::flatten(&drawn, FLAT, |element| match element {
        PathEl::MoveTo(p) | PathEl::LineTo(p) => flat.push(Coord { x: p.x, y: p.y }),
        _ => {}
    });
    Ok(Curve { drawn, flat })
}

/// Short path data: two decimals, no spaces where none are needed.
pub(super) fn text(path: &BezPath) -> String {
    let mut out = String::new();
    for element in path.elements() {
        match *element {
            PathEl::MoveTo(p) => write(&mut out, 'M', &[p]),
            PathEl::LineTo(p) => write(&mut out, 'L', &[p]),
            PathEl::QuadTo(a, p) => write(&mut out, 'Q', &[a, p]),
            PathEl::CurveTo(a, b, p) => write(&mut out, 'C', &[a, b, p]),
            PathEl::ClosePath => out.push('Z'),
        }
    }
    out
}

fn write(out: &mut String, letter: char, points: &[Point]) {
    out.push(letter);
    for (i, value) in points.iter().flat_map(|p| [p.x, p.y]).enumerate() {
        let number = short(value);
        if i > 0 && !number.starts_with('-') {
            out.push(' ');
        }
        out.push_str(&number);
    }
}

fn short(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.into() }
}

/// Reads any path data of a line that is only drawn, and shortens it.
pub(super) fn detail(data: &str) -> Result<String, String> {
    BezPath::from_svg(data).map(|p| text(&p)).map_err(|e| e.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_arc_is_one_line_of_known_commands() {
        assert!(arc("M0 0C1 0 2 1 2 2L3 3").is_ok());
        for wrong in ["M0 0", "M0 0L1 1M2 2L3 3", "M0 0Q1 1 2 2", "m0 0l1 1", "M0 0L1 1Z", "M0 0L1", "", "L1 1"] {
            assert!(arc(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn text_is_short_and_keeps_curves() {
        let path = arc("M0.10000 -0.001C1.006 0 2 -1.5 2 2L3 3").unwrap();
        assert_eq!(text(&path.drawn), "M0.1 0C1.01 0 2-1.5 2 2L3 3");
        assert_eq!(text(&path.mirrored().drawn), "M-0.1 0C-1.01 0-2-1.5-2 2L-3 3");
    }

    #[test]
    fn backwards_has_the_same_pieces() {
        let path = arc("M0 0C1 0 2 1 2 2").unwrap();
        let back = path.backwards();
        assert_eq!(back.ends(), path.ends().map(|(a, b)| (b, a)));
        assert_eq!(back.flat.iter().rev().copied().collect::<Vec<_>>(), path.flat);
    }
}

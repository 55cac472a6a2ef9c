//! Geometry as authors write it: views of the body chart, points and lines on them in cm.
//!
//! The drawing itself lives in `crate::chart`; what follows from the geometry is computed in
//! `compute::chart`. Coordinates are written once for the treated side: x is positive towards it, so
//! that a left and a right person are mirror images. y runs downwards, or from wrist to fingertips
//! and from heel to toes.

use crate::source::{Span, Spanned};
use std::ops::Range;

/// A view of the body chart.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ViewId {
    /// Front of the body; x from the midline towards the treated side.
    Front,
    /// Back of the body; x from the midline towards the treated side.
    Back,
    /// Profile of the treated side; x forwards.
    Side,
    /// Palm; x towards the thumb.
    Palm,
    /// Back of the hand; x towards the thumb.
    HandBack,
    /// Sole; x towards the big toe.
    Sole,
    /// Top of the foot; x towards the big toe.
    FootTop,
    /// Profile of the inner side of the foot.
    FootInner,
}

impl ViewId {
    /// All views with their words, in the order in which they are shown.
    pub const ALL: [(ViewId, &'static str); 8] = [
        (ViewId::Front, "front"),
        (ViewId::Back, "back"),
        (ViewId::Side, "side"),
        (ViewId::Palm, "palm"),
        (ViewId::HandBack, "hand-back"),
        (ViewId::Sole, "sole"),
        (ViewId::FootTop, "foot-top"),
        (ViewId::FootInner, "foot-inner"),
    ];

    /// The view with this word.
    pub fn from_word(word: &str) -> Option<ViewId> {
        ViewId::ALL.iter().find(|(_, w)| *w == word).map(|(v, _)| *v)
    }

    /// True if an onlooker sees a right side as the mirror image of the drawing: a right palm, sole or inner foot
    /// faces the other way than it is drawn. Front and back hold both sides.
    pub fn turned_on_the_right(self) -> bool {
        matches!(self, ViewId::Palm | ViewId::Sole | ViewId::FootInner)
    }

    /// True for a view of the whole body.
    pub fn whole_body(self) -> bool {
        matches!(self, ViewId::Front | ViewId::Back | ViewId::Side)
    }

    /// The word.
    pub fn word(self) -> &'static str {
        ViewId::ALL.iter().find(|(v, _)| *v == self).map_or("", |(_, w)| w)
    }
}

/// A point of a view, cm.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Point2 {
    /// Towards the treated side, the front, the thumb or the big toe.
    pub x: f64,
    /// Downwards, or towards fingertips and toes.
    pub y: f64,
}

/// A line of at least two points, or of one where a single point is meant.
#[derive(Clone, Debug)]
pub struct Line {
    /// Points in order, each where it is written.
    pub points: Vec<Spanned<Point2>>,
    /// The whole text.
    pub span: Span,
}

/// A closed outline of at least three points that does not cross itself. The last point is joined to
/// the first.
#[derive(Clone, Debug)]
pub struct Outline {
    /// Points in order, each where it is written.
    pub points: Vec<Spanned<Point2>>,
    /// The whole text.
    pub span: Span,
}

/// Most points of one line or outline. More is tracing, not a schematic drawing.
pub const MOST_POINTS: usize = 200;

/// What cannot be read as coordinates: the bytes at fault, a label for them and what to write.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PointsError {
    /// Bytes of the text.
    pub at: Range<usize>,
    /// What is wrong there.
    pub what: String,
}

/// Reads `x y, x y` in cm; each point comes with its bytes.
///
/// # Errors
/// At the first pair that is no pair of plain decimal numbers, or if there are too many.
pub fn parse_points(text: &str) -> Result<Vec<(Point2, Range<usize>)>, PointsError> {
    let mut points = Vec::new();
    let mut start = 0;
    for pair in text.split(',') {
        let lead = pair.len() - pair.trim_start().len();
        let at = start + lead..start + lead + pair.trim().len();
        start += pair.len() + 1;
        if points.len() == MOST_POINTS {
            return Err(PointsError { at, what: format!("more than {MOST_POINTS} points") });
        }
        points.push((pair_of(text, &at)?, at));
    }
    Ok(points)
}

fn pair_of(text: &str, at: &Range<usize>) -> Result<Point2, PointsError> {
    let pair = &text[at.clone()];
    let mut numbers = Vec::new();
    let mut from = 0;
    for word in pair.split_whitespace() {
        let begin = pair[from..].find(word).map_or(from, |i| from + i);
        from = begin + word.len();
        let bytes = at.start + begin..at.start + from;
        let number = decimal(word).ok_or_else(|| PointsError { at: bytes, what: "no plain number of cm".into() })?;
        numbers.push(number);
    }
    match *numbers {
        [x, y] => Ok(Point2 { x, y }),
        [] => Err(PointsError { at: at.clone(), what: "no point between the commas".into() }),
        [_] => Err(PointsError { at: at.clone(), what: "one number, and a point needs two".into() }),
        _ => Err(PointsError { at: at.clone(), what: format!("{} numbers, and a point has two", numbers.len()) }),
    }
}

/// A plain decimal number: sign, digits, point, digits. No exponent, no words.
fn decimal(word: &str) -> Option<f64> {
    let digits = word.strip_prefix('-').unwrap_or(word);
    let plain = digits.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    let framed = digits.starts_with(|c: char| c.is_ascii_digit()) && digits.ends_with(|c: char| c.is_ascii_digit());
    if !plain || !framed || digits.len() > 12 {
        return None;
    }
    word.parse().ok().filter(|n: &f64| n.is_finite())
}

/// Area of a closed ring that does not cross itself, cm2.
pub fn area(points: &[Point2]) -> f64 {
    let next = points.iter().cycle().skip(1);
    points.iter().zip(next).map(|(a, b)| a.x * b.y - b.x * a.y).sum::<f64>().abs() / 2.0
}

/// Two sides of a closed ring that cross or touch although they are no neighbours, by the number of the
/// point at which each starts.
pub fn crossing(points: &[Point2]) -> Option<(usize, usize)> {
    let n = points.len();
    let side = |i: usize| (points[i], points[(i + 1) % n]);
    if let Some(i) = (0..n).find(|i| n > 1 && side(*i).0 == side(*i).1) {
        return Some((i, (i + 1) % n));
    }
    for i in 0..n {
        for j in i + 2..n {
            if (i, j) != (0, n - 1) && meet(side(i), side(j)) {
                return Some((i, j));
            }
        }
    }
    None
}

/// True if two straight pieces share a point.
fn meet((a, b): (Point2, Point2), (c, d): (Point2, Point2)) -> bool {
    let turn = |p: Point2, q: Point2, r: Point2| (q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x);
    let within = |p: Point2, q: Point2, r: Point2| r.x >= p.x.min(q.x) && r.x <= p.x.max(q.x) && r.y >= p.y.min(q.y) && r.y <= p.y.max(q.y);
    let (one, two, three, four) = (turn(a, b, c), turn(a, b, d), turn(c, d, a), turn(c, d, b));
    if one * two < 0.0 && three * four < 0.0 {
        return true;
    }
    let flat = |t: f64, p, q, r| t.abs() < 1e-12 && within(p, q, r);
    flat(one, a, b, c) || flat(two, a, b, d) || flat(three, c, d, a) || flat(four, c, d, b)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn read(text: &str) -> Vec<Point2> {
        parse_points(text).unwrap().into_iter().map(|(p, _)| p).collect()
    }

    #[test]
    fn points_are_read_with_their_bytes() {
        let points = parse_points("0.5 24, -6  26.5 ,9 29").unwrap();
        assert_eq!(points[1], (Point2 { x: -6.0, y: 26.5 }, 8..16));
        assert_eq!(points[2].1, 18..22);
    }

    #[test]
    fn what_is_no_point_is_shown_exactly() {
        let at = |text: &str| parse_points(text).map_err(|e| text[e.at].to_string());
        for (text, fault) in [
            ("1 2, 3", "3"),
            ("1 2, 3 4 5", "3 4 5"),
            ("1 2, 3 x4", "x4"),
            ("1 2,, 3 4", ""),
            ("1 2, 3 4,", ""),
            ("", ""),
            ("1 2, 3 1e5", "1e5"),
            ("1 NaN", "NaN"),
            ("1 .5", ".5"),
            ("1 5.", "5."),
            ("1 1.2.3", "1.2.3"),
            ("1 +2", "+2"),
            ("1 --2", "--2"),
        ] {
            assert_eq!(at(text), Err(fault.to_string()), "{text}");
        }
        let many = vec!["1 2"; MOST_POINTS + 1].join(", ");
        assert!(parse_points(&many).unwrap_err().what.contains("more than"));
        assert_eq!(read(&vec!["1 2"; MOST_POINTS].join(", ")).len(), MOST_POINTS);
    }

    #[test]
    fn a_bow_tie_crosses_itself_and_a_hook_does_not() {
        assert_eq!(crossing(&read("0 0, 4 4, 4 0, 0 4")), Some((0, 2)));
        assert_eq!(crossing(&read("0 0, 4 0, 4 4, 2 1, 0 4")), None);
        assert_eq!(crossing(&read("0 0, 4 0, 4 4, 2 0, 0 4")), Some((0, 2)), "touching is crossing");
        assert_eq!(crossing(&read("0 0, 4 0, 4 0, 0 4")), Some((1, 2)), "a point twice");
    }

    #[test]
    fn an_outline_has_the_area_that_it_encloses() {
        for (text, wanted) in [("0 0, 4 0, 4 3, 0 3", 12.0), ("0 3, 4 3, 4 0, 0 0", 12.0), ("0 0, 1 1, 3 3", 0.0)] {
            assert!((area(&read(text)) - wanted).abs() < 1e-12, "{text}");
        }
    }

    proptest! {
        #[test]
        fn what_is_written_is_read(numbers in proptest::collection::vec((-9_999i32..9_999, -9_999i32..9_999), 1..40)) {
            let text: Vec<String> = numbers.iter().map(|(x, y)| format!("{} {}", f64::from(*x) / 100.0, f64::from(*y) / 100.0)).collect();
            let text = text.join(", ");
            let points = parse_points(&text).unwrap();
            prop_assert_eq!(points.len(), numbers.len());
            for ((point, at), (x, y)) in points.iter().zip(&numbers) {
                prop_assert_eq!(*point, Point2 { x: f64::from(*x) / 100.0, y: f64::from(*y) / 100.0 });
                prop_assert_eq!(&read(&text[at.clone()])[0], point);
            }
        }

        #[test]
        fn no_text_makes_it_panic(text in "\\PC{0,60}") {
            match parse_points(&text) {
                Ok(points) => prop_assert!(points.iter().all(|(p, _)| p.x.is_finite() && p.y.is_finite())),
                Err(e) => prop_assert!(text.get(e.at).is_some()),
            }
        }

        #[test]
        fn digits_in_any_order_never_panic(text in "[0-9 .,\\-]{0,60}") {
            if let Err(e) = parse_points(&text) {
                prop_assert!(text.get(e.at).is_some());
            }
        }
    }
}
